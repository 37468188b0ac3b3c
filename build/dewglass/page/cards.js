// @ts-check
/**
 * The cards of one calculator (the tank): read from the visit's store and written back to it, and
 * the words that say whose card is shown and what in it is only assumed.
 */

import { inSystem } from "./numbers.js";
import * as store from "./store.js";
import { button } from "./tools.js";

/** @typedef {import("./element.js").Signature} Signature */
/** @typedef {import("./element.js").Input} Input */

export class SharedCards {
  #root;
  #signature;
  #exact;
  #prepared;
  #apart;

  /**
   * @param {HTMLElement} root the calculator
   * @param {Signature} signature
   * @param {Map<string, string>} exact every input's exact text, changed in place
   * @param {string} prepared the inputs of the prepared answers, as JSON
   * @param {{apart: boolean, taken: () => void}} options apart: an example that keeps its numbers
   *   to itself; taken: a ready card has been chosen
   */
  constructor(root, signature, exact, prepared, { apart, taken }) {
    this.#root = root;
    this.#signature = signature;
    this.#exact = exact;
    this.#prepared = JSON.parse(prepared);
    this.#apart = apart;
    for (const details of this.#places()) {
      const name = details.dataset.card ?? "";
      const line = document.createElement("p");
      line.className = "dg-visitor";
      line.append(
        `You are looking at another ${name}. `,
        button("own-card", `Back to my own ${name}`, () => store.ownCard(name)),
      );
      details.querySelector("summary")?.after(line);
      const ready = /** @type {HTMLSelectElement | null} */ (
        details.querySelector("select[data-ready]")
      );
      if (!ready) continue;
      /** @type {HTMLElement} */ (ready.parentElement).hidden = false;
      ready.addEventListener("input", (event) => event.stopPropagation());
      ready.addEventListener("change", () => {
        this.#take(name, signature.ready[name]?.[ready.value]);
        taken();
      });
    }
  }

  /** @returns {NodeListOf<HTMLElement>} */
  #places() {
    return this.#root.querySelectorAll("details[data-card]");
  }

  /** @param {string} card */
  #members(card) {
    return this.#signature.inputs.filter((input) => input.card === card);
  }

  /** Take every card's texts from the store, and the prepared ones where it holds none. */
  read() {
    if (this.#apart) return;
    for (const { name, card, takes } of this.#signature.inputs) {
      if (card) this.#exact.set(name, store.card(card)[name] ?? this.#prepared[name]);
      const taken = takes && store.card(takes.card)[takes.field];
      if (taken) this.#exact.set(name, taken);
    }
  }

  /** Keep what was typed into one field of a card, with the rest of it. @param {Input} input */
  write({ name: typed, card }) {
    if (this.#apart) return;
    const whole = this.#members(card).map(({ name }) => [name, this.#exact.get(name) ?? ""]);
    store.changeCard(card, Object.fromEntries(whole), [typed]);
    for (const details of this.#places()) {
      const ready = details.querySelector("select[data-ready]");
      if (ready) /** @type {HTMLSelectElement} */ (ready).value = "";
    }
  }

  /** @param {string} card @param {Record<string, string> | undefined} made none for one's own */
  #take(card, made) {
    if (this.#apart) {
      const fields = made ?? this.#prepared;
      for (const { name } of this.#members(card)) this.#exact.set(name, fields[name] ?? "");
    } else if (made) store.welcomeCard(card, made);
    else store.ownCard(card);
  }

  /** Say on each card which tank it is. */
  show() {
    const system = store.system();
    for (const details of this.#places()) {
      const card = details.dataset.card ?? "";
      const sizes = this.#members(card)
        .filter(({ units }) => units?.metric.symbol === "cm")
        .slice(0, 3);
      const three = sizes.map(({ name, units }) =>
        inSystem(this.#exact.get(name) ?? "", units, system),
      );
      const line = details.querySelector(".dg-card-line");
      const symbol = sizes[0]?.units?.[system].symbol ?? "";
      if (line) line.textContent = `${three.join(" × ")} ${symbol}`;
      const visitor = !this.#apart && store.isVisitor(card);
      const back = details.querySelector('[data-do="own-card"]');
      if (back) /** @type {HTMLElement} */ (back.parentElement).hidden = !visitor;
      if (!this.#apart) this.#tellWhose(details, card, visitor);
    }
  }

  /** @param {HTMLElement} details @param {string} card @param {boolean} visitor */
  #tellWhose(details, card, visitor) {
    const own = !visitor && Object.keys(store.card(card)).length > 0;
    const whose = own ? "Your" : visitor ? "Another" : "An example";
    const title = details.querySelector(".dg-card-name");
    if (title) title.textContent = `${whose} ${card}`;
    const typed = store.typedFields(card);
    const assumed = this.#members(card)
      .filter(({ name }) => !typed.includes(name) && this.#exact.get(name))
      .map(({ name }) => this.#labelOf(name).toLowerCase());
    const line = /** @type {HTMLElement | null} */ (details.querySelector(".dg-assumed"));
    if (!line) return;
    line.hidden = !own || assumed.length === 0;
    line.textContent = `Still assumed, until you type it: ${assumed.join(", ")}.`;
  }

  /** @param {string} name */
  #labelOf(name) {
    return this.#root.querySelector(`[data-field="${name}"] label`)?.textContent ?? name;
  }
}
