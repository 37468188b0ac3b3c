// @ts-check
/**
 * Give a drawing its words for a screen reader. Its parts lose the names the library gave them,
 * which no reader would hear and which are not allowed on them; they stay findable as `data-part`.
 * @param {Element} drawing @param {string} words
 */
export function nameDrawing(drawing, words) {
  for (const part of drawing.querySelectorAll("[aria-label]")) {
    part.setAttribute("data-part", part.getAttribute("aria-label") ?? "");
    part.removeAttribute("aria-label");
  }
  drawing.setAttribute("role", "img");
  drawing.setAttribute("aria-label", words);
}
