// @ts-check
/**
 * A tank's sheet printed alone: `html[data-printing]` hides all but the sheet marked
 * `data-printed` while the page is printed. Without this script every sheet prints on its own page.
 */

/** Give every sheet of the page its button. */
export function addPrintButtons() {
  for (const sheet of document.querySelectorAll("dewglass-calculator[data-sheet]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "dg-button";
    button.dataset.do = "print";
    button.textContent = "Print this sheet";
    button.addEventListener("click", () => print(sheet));
    const foot = sheet.querySelector(".dg-foot") ?? sheet;
    foot.prepend(button);
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
