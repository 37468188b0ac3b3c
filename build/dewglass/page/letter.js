// @ts-check
/**
 * A reply to copy as plain text. The address of a page with the tank in it is added at its foot;
 * not from a folder opened by double click, whose addresses nobody else can open.
 */

/** Follow every answer that is copied, and every one that is a link. */
export function followLetters() {
  for (const letter of document.querySelectorAll("[data-copied]")) {
    const calculator = letter.closest("dewglass-calculator");
    if (!calculator) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "dg-button";
    button.dataset.do = "copy-text";
    button.textContent = "Copy this reply";
    button.addEventListener("click", () => copy(button, /** @type {HTMLElement} */ (letter)));
    letter.querySelector("dd")?.append(button);
    calculator.addEventListener("answered", () => putLinks(calculator));
  }
}

/** @param {Element} calculator */
function putLinks(calculator) {
  for (const place of calculator.querySelectorAll("[data-link]")) {
    const address = place.querySelector("output")?.dataset.value ?? "";
    /** @type {HTMLElement} */ (place).hidden = !address;
    place.querySelector("a")?.setAttribute("href", address);
  }
}

/** @param {HTMLElement} letter @returns {string} what is copied */
function whole(letter) {
  const text = letter.querySelector("output")?.innerText.trim() ?? "";
  const calculator = letter.closest("dewglass-calculator");
  const name = letter.dataset.copied;
  const address = name
    ? calculator?.querySelector(`[data-link="${name}"] output`)?.getAttribute("data-value")
    : "";
  if (!address || location.protocol === "file:") return text;
  return `${text}\n\nHere is your tank, worked out: ${new URL(address, location.href)}`;
}

/** @param {HTMLButtonElement} button @param {HTMLElement} letter */
async function copy(button, letter) {
  const label = button.textContent;
  try {
    await navigator.clipboard.writeText(whole(letter));
    button.textContent = "Copied";
  } catch {
    const output = letter.querySelector("output");
    if (output) getSelection()?.selectAllChildren(output);
    button.textContent = "The reply is selected: copy it with your keyboard or menu";
  }
  setTimeout(() => (button.textContent = label), 4000);
}
