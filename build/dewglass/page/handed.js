// @ts-check
/**
 * What a calculator found, handed to a card that the others share: answers that carry `data-card`
 * and `data-card-field` are offered with a button, each with a box to leave it out.
 */

import { changeCard, isVisitor } from "./store.js";

/** Where a tank card is put to use; the pages of the guide stand side by side. */
const NEXT = [
  ["too-dry.html", "Too dry"],
  ["too-damp.html", "Too damp"],
];

export class Handed {
  #root;
  #card;
  #place = document.createElement("div");
  #list = document.createElement("ul");
  #said = document.createElement("p");

  /** @param {HTMLElement} root a calculator with at least one such answer */
  constructor(root) {
    this.#root = root;
    this.#card = this.#outputs()[0].dataset.card ?? "";
    const head = document.createElement("p");
    head.className = "dg-heading";
    head.textContent = `For your ${this.#card} card`;
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "dg-button" });
    button.textContent = `Use this in my ${this.#card} card`;
    button.dataset.do = "hand";
    button.addEventListener("click", () => this.#hand());
    this.#said.setAttribute("role", "status");
    this.#place.className = "dg-hand";
    this.#place.hidden = true;
    this.#place.append(head, this.#list, button, this.#said);
    const first = root.querySelector(".dg-first");
    if (first) first.after(this.#place);
    else root.querySelector(".dg-answers")?.prepend(this.#place);
  }

  /** @returns {HTMLElement[]} */
  #outputs() {
    return [...this.#root.querySelectorAll("output")].filter((output) => output.dataset.card);
  }

  /** Offer the answers there are. @param {boolean} own false while they are an example's */
  offer(own) {
    const known = own ? this.#outputs().filter((output) => output.dataset.value) : [];
    this.#place.hidden = known.length === 0;
    this.#said.replaceChildren();
    this.#list.replaceChildren(
      ...known.map((output) => {
        const item = document.createElement("li");
        const label = document.createElement("label");
        const box = document.createElement("input");
        const condition = output.dataset.onlyIf ?? "";
        Object.assign(box, { type: "checkbox", checked: !condition });
        box.dataset.answer = output.getAttribute("name") ?? "";
        const words = document.createElement("span");
        words.append(`${labelOf(output)}: `);
        for (const part of output.childNodes) words.append(part.cloneNode(true));
        if (condition) words.append(` (${condition})`);
        label.append(box, words);
        item.append(label);
        return item;
      }),
    );
  }

  #hand() {
    /** @type {Record<string, string>} */
    const fields = {};
    const named = [];
    for (const output of this.#outputs()) {
      const { value = "", unit = "", cardField = "" } = output.dataset;
      const box = this.#list.querySelector(`[data-answer="${output.getAttribute("name")}"]`);
      if (!value || !(/** @type {HTMLInputElement | null} */ (box)?.checked)) continue;
      // As many figures as such a number deserves.
      fields[cardField] = `${Number(Number(value).toPrecision(3))} ${unit}`;
      named.push(`${labelOf(output).toLowerCase()}, ${fields[cardField]}`);
    }
    if (!named.length) {
      this.#said.textContent = "Nothing was changed: tick what to use first.";
      return;
    }
    changeCard(this.#card, fields);
    const whose = isVisitor(this.#card) ? `the ${this.#card} card you look at` : `your card`;
    const kept =
      "Everything else in it stays as it was, the thermostat too. Where the card holds a " +
      "correction of your gauge, it is applied to the reading.";
    const text = `Now in ${whose}: ${named.join("; ")}. ${kept} See what to change:`;
    this.#said.replaceChildren(text);
    for (const [address, label] of NEXT) {
      const link = Object.assign(document.createElement("a"), { href: address, textContent: label });
      this.#said.append(" ", link);
    }
  }
}

/** @param {HTMLElement} output */
function labelOf(output) {
  return output.closest(".dg-one")?.querySelector("dt")?.firstChild?.textContent?.trim() ?? "";
}
