// @ts-check
/**
 * One calculator printed alone: `html[data-printing]` hides all but the one marked `data-printed`
 * while the page is printed. Without this script every tank's sheet prints on its own page.
 */

/** Give every calculator of the page its button. */
export function addPrintButtons() {
  for (const sheet of document.querySelectorAll("dewglass-calculator")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "dg-button";
    button.dataset.do = "print";
    button.textContent = sheet.matches("[data-sheet]") ? "Print this sheet" : "Print this";
    button.addEventListener("click", () => print(sheet));
    const foot = sheet.querySelector(".dg-foot") ?? sheet;
    if (sheet.matches("[data-sheet]")) foot.prepend(button);
    else foot.append(button);
  }
}

/** @param {Element} sheet */
function print(sheet) {
  const page = document.documentElement;
  page.toggleAttribute("data-printing", true);
  sheet.toggleAttribute("data-printed", true);
  addEventListener(
    "afterprint",
    () => {
      page.removeAttribute("data-printing");
      sheet.removeAttribute("data-printed");
    },
    { once: true },
  );
  window.print();
}
