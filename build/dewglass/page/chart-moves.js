// @ts-check
/** A closer look at a long stretch: buttons, so that keyboard, mouse and thumb all reach them. */

/** @typedef {"closer" | "wider" | "earlier" | "later" | "whole"} Move */

/** @type {[Move, string][]} */
const BUTTONS = [
  ["earlier", "Earlier"],
  ["later", "Later"],
  ["closer", "Closer"],
  ["wider", "Wider"],
  ["whole", "Whole"],
];
const NARROWEST = 1 / 256;

export class Moves {
  #from = 0;
  #to = 1;
  /** The part that is shown, as shares of the whole. */
  #start = 0;
  #end = 1;
  /** @type {HTMLElement | undefined} */
  #tools;

  /** @param {() => void} moved */
  constructor(moved) {
    this.moved = moved;
  }

  /** Take the stretch there is; another one is shown whole. @param {number[]} places */
  over(places) {
    const known = places.filter(Number.isFinite);
    const from = known.reduce((a, b) => Math.min(a, b), Infinity);
    const to = known.reduce((a, b) => Math.max(a, b), -Infinity);
    if (from === this.#from && to === this.#to) return;
    [this.#from, this.#to, this.#start, this.#end] = [from, to, 0, 1];
  }

  /** @returns {[number, number]} */
  get window() {
    const length = this.#to - this.#from || 1;
    return [this.#from + length * this.#start, this.#from + length * this.#end];
  }

  /** @param {Move} move */
  #move(move) {
    const wide = this.#end - this.#start;
    const middle = (this.#start + this.#end) / 2;
    const next =
      move === "closer" ? Math.max(wide / 2, NARROWEST) : move === "wider" ? wide * 2 : wide;
    const shift = move === "earlier" ? -wide / 2 : move === "later" ? wide / 2 : 0;
    const size = move === "whole" ? 1 : Math.min(next, 1);
    this.#start = Math.min(Math.max(middle + shift - size / 2, 0), 1 - size);
    this.#end = this.#start + size;
    this.moved();
  }

  /** @param {import("./chart-table.js").Column} along @returns {HTMLElement} */
  tools(along) {
    const tools = (this.#tools ??= this.#build());
    const whole = this.#end - this.#start > 1 - 1e-9;
    const off = {
      earlier: this.#start < 1e-9,
      later: this.#end > 1 - 1e-9,
      closer: this.#end - this.#start <= NARROWEST + 1e-9,
      wider: whole,
      whole,
    };
    for (const button of tools.querySelectorAll("button")) {
      const move = /** @type {Move} */ (button.dataset.move);
      // Not “disabled”, which would throw a keyboard's focus away.
      button.setAttribute("aria-disabled", String(off[move]));
    }
    const said = /** @type {HTMLElement} */ (tools.querySelector("output, [role=status]"));
    const text = whole ? "" : `Shown: ${this.#words(along)}`;
    if (said.textContent !== text) said.textContent = text;
    return tools;
  }

  /** @param {import("./chart-table.js").Column} along */
  #words({ symbol, label }) {
    const clock = symbol === "";
    const digits = Math.max(0, 1 - Math.floor(Math.log10(this.window[1] - this.window[0] || 1)));
    const [from, to] = this.window.map((at) =>
      clock
        ? new Date(at).toISOString().slice(0, 16).replace("T", " ")
        : at.toFixed(Math.min(digits, 3)),
    );
    return clock ? `${from} to ${to}` : `${from} to ${to} ${symbol} (${label.toLowerCase()})`;
  }

  #build() {
    const tools = document.createElement("div");
    tools.className = "dg-moves";
    tools.setAttribute("role", "group");
    tools.setAttribute("aria-label", "Look closer");
    for (const [move, label] of BUTTONS) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "dg-button", textContent: label });
      button.dataset.move = move;
      button.addEventListener("click", () => {
        if (button.getAttribute("aria-disabled") !== "true") this.#move(move);
      });
      tools.append(button);
    }
    const said = document.createElement("span");
    said.setAttribute("role", "status");
    tools.append(said);
    return tools;
  }

  /** Redraw without taking the focus off a button. @param {() => void} redraw */
  keepingFocus(redraw) {
    const focused = /** @type {HTMLElement | null} */ (document.activeElement);
    redraw();
    if (focused && this.#tools?.contains(focused)) focused.focus();
  }
}
