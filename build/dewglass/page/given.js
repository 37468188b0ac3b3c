// @ts-check
/**
 * All of a calculator that concerns a text given to it (a log): the file or paste itself, its
 * progress, the columns to choose from, the questions back, and what is handed to a card.
 */

import { offerRows } from "./among.js";
import { Asked } from "./asked.js";
import { Handed } from "./handed.js";
import { Pasted } from "./pasted.js";

/** @typedef {import("./element.js").Input} Input */
/** @typedef {import("./element.js").Entry} Entry */

/** A shorter wait [ms] needs no bar. */
const SOON = 300;

export class Given {
  /** True while a long answer is awaited. */
  busy = false;
  /** @type {HTMLElement} */
  #root;
  /** @type {Input[]} */
  #inputs;
  /** @type {Map<string, Entry>} */
  #entries;
  /** @type {Map<string, string>} */
  #exact;
  #changed;
  /** The fields that choices of rows stand in the place of. @type {Map<string, Entry>} */
  #plain = new Map();
  /** @type {Map<string, Pasted>} */
  #pasted = new Map();
  /** What the page was made with. @type {Map<string, string>} */
  #prepared;
  /** @type {Asked | undefined} */
  #asked;
  /** @type {Handed | undefined} */
  #handed;
  #began = 0;

  /**
   * @param {HTMLElement} root the calculator
   * @param {Input[]} inputs
   * @param {Map<string, Entry>} entries each input's field; this puts others in their place
   * @param {Map<string, string>} exact each input's text; this changes it
   * @param {{changed: () => void, stop: () => void}} acts
   */
  constructor(root, inputs, entries, exact, { changed, stop }) {
    this.#root = root;
    this.#inputs = inputs;
    this.#entries = entries;
    this.#exact = exact;
    this.#changed = changed;
    this.#prepared = new Map(exact);
    for (const { name, pasted } of inputs) {
      const entry = /** @type {HTMLTextAreaElement | undefined} */ (entries.get(name));
      const field = entry?.closest(".dg-field");
      if (!pasted || !entry || !field) continue;
      this.#pasted.set(name, new Pasted(entry, () => this.#begin(), changed, stop));
      if (root.querySelector("[data-asks]")) {
        this.#asked = new Asked(field, (input, choice) => this.#answer(input, choice));
      }
    }
    if (root.querySelector("output[data-card]")) this.#handed = new Handed(root);
  }

  /** Inputs given as files. @returns {Record<string, File>} */
  files() {
    /** @type {Record<string, File>} */
    const files = {};
    for (const [name, { file }] of this.#pasted) if (file) files[name] = file;
    return files;
  }

  /** What tells these files from others, without their text. */
  token() {
    return [...this.#pasted].map(([name, { token }]) => [`${name} file`, token]);
  }

  /** Of `inputs`, those that a link may carry. @param {Record<string, string>} inputs */
  forLink(inputs) {
    const kept = this.#inputs.filter(({ pasted, fresh }) => pasted || fresh !== undefined);
    const names = kept.map(({ name }) => name);
    return Object.fromEntries(Object.entries(inputs).filter(([name]) => !names.includes(name)));
  }

  /** A question is asked now. */
  begin() {
    this.#began = performance.now();
  }

  /** @param {number} share of the answer that is done, from 0 to 1 */
  progress(share) {
    if (performance.now() - this.#began < SOON) return;
    this.busy = true;
    for (const pasted of this.#pasted.values()) pasted.progress(share);
  }

  /** No answer is awaited any more. */
  end() {
    this.busy = false;
    for (const pasted of this.#pasted.values()) pasted.progress();
  }

  /** Show what a new answer says of the text. @param {any} result */
  about(result) {
    for (const { name, among } of this.#inputs) {
      const entry = this.#entries.get(name);
      if (!among || !entry) continue;
      const rows = result.answers[among.rows];
      const exact = this.#exact.get(name) ?? "";
      if (!this.#plain.has(name)) this.#plain.set(name, entry);
      this.#entries.set(name, offerRows(/** @type {any} */ (entry), among, rows, exact));
    }
    const questions = this.#root.querySelector("[data-asks]");
    if (questions) this.#asked?.put(result.answers[questions.getAttribute("data-rows") ?? ""]);
    const own = [...this.#pasted].every(
      ([name, { file }]) => file || this.#exact.get(name) !== this.#prepared.get(name),
    );
    this.#handed?.offer(own);
  }

  /**
   * Where the text itself cannot be read its rows are not known: they may be typed.
   * @param {{field: string}[]} problems
   */
  refused(problems) {
    if (!problems.some(({ field }) => this.#pasted.has(field))) return;
    for (const [name, plain] of this.#plain) {
      const choice = this.#entries.get(name);
      choice?.closest(".dg-field")?.removeAttribute("data-chosen");
      choice?.replaceWith(plain);
      this.#entries.set(name, plain);
      plain.value = this.#exact.get(name) ?? "";
    }
    this.#plain.clear();
    this.#handed?.offer(false);
  }

  /** What was said of the last text does not hold for another. */
  #begin() {
    for (const { name, fresh } of this.#inputs) {
      if (fresh === undefined) continue;
      this.#exact.set(name, fresh);
      const entry = this.#entries.get(name);
      if (entry) entry.value = fresh;
    }
    this.#asked?.put([]);
  }

  /** @param {string} input @param {string} choice */
  #answer(input, choice) {
    this.#exact.set(input, choice);
    this.#changed();
    this.#entries.get(input)?.focus(); // the button goes with its question
  }
}
