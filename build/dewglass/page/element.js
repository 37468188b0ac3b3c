// @ts-check
/**
 * `<dewglass-calculator>`: a form with prepared answers, made live when it is near or touched.
 *
 * What flows: typed text -> exact text with its unit -> the runtime -> a document -> the page's
 * own outputs. The static HTML is complete without this script.
 */

import { addressWith, inputsInAddress, putInAddress } from "./address.js";
import { putAnswers } from "./answers.js";
import { SharedCards } from "./cards.js";
import { Given } from "./given.js";
import { inSystem, withUnit } from "./numbers.js";
import * as store from "./store.js";
import { UnitsSwitch, button, copyAddress } from "./tools.js";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Entry */
/** @typedef {{name: string, kind: string, card: string, pasted?: boolean, among?: import("./among.js").Among, fresh?: string, takes?: {card: string, field: string}, units?: import("./numbers.js").Units}} Input */
/** @typedef {{inputs: Input[], ready: Record<string, Record<string, Record<string, string>>>}} Signature */

const STARTING = "Starting the calculator in your browser. The answers shown stay until it is ready.";
const LIVE = "Worked out in your browser. Nothing you type leaves this device.";
const FIRST_LOOK = "Middle values so far; how sure they are is being worked out.";
const STOPPED = "Stopped. The answers shown are the former ones.";
/** An answer that took so long [ms] is asked anew only when typing has paused. */
const LONG = 1000;
const PAUSE = 600;
const KEPT = "The answers shown are for the last numbers that could be used.";

/** @param {import("./runtime.js").Runtime} runtime */
export function defineCalculator(runtime) {
  customElements.define(
    "dewglass-calculator",
    class extends Calculator {
      constructor() {
        super(runtime);
      }
    },
  );
}

let announced = 0;

class Calculator extends HTMLElement {
  /** @type {Signature} */
  #signature = { inputs: [], ready: {} };
  /** @type {Map<string, string>} each input's exact text, with the unit it was typed in */
  #exact = new Map();
  /** @type {Map<string, Entry>} */
  #entries = new Map();
  /** What the answers on the page are for. */
  #answered = "";
  #prepared = "";
  #wanted = false;
  /** Keeps its numbers to itself: no shared card, nothing stored, nothing in the address. */
  #apart = false;
  /** @type {Given} */
  #given = /** @type {any} */ (undefined); // from when the element is in the page
  /** @type {SharedCards} */
  #cards = /** @type {any} */ (undefined);
  #units = new UnitsSwitch(this);
  /** How long the last answer took [ms], and the timer of a question that waits for a pause. */
  #took = 0;
  #pause = 0;

  /** @param {import("./runtime.js").Runtime} runtime */
  constructor(runtime) {
    super();
    this.runtime = runtime;
  }

  connectedCallback() {
    if (this.#entries.size) return; // moved about in the page
    this.#apart = this.hasAttribute("data-apart");
    const words = this.querySelector("[data-signature]")?.textContent ?? "{}";
    this.#signature = JSON.parse(words);
    for (const { name } of this.#signature.inputs) {
      const entry = /** @type {Entry | null} */ (this.querySelector(`[name="${name}"]`));
      if (!entry) continue;
      this.#entries.set(name, entry);
      this.#exact.set(name, entry.dataset.typed ?? entry.value);
      entry.removeAttribute("readonly");
      entry.removeAttribute("disabled");
    }
    this.#given = new Given(this, this.#signature.inputs, this.#entries, this.#exact, {
      changed: () => {
        this.#wanted = true;
        this.#clearProblems();
        this.#show();
        this.#ask();
      },
      stop: () => this.#stop(),
    });
    this.#prepared = this.#answered = this.#question();
    this.#addTools();
    this.#cards = new SharedCards(this, this.#signature, this.#exact, this.#prepared, {
      apart: this.#apart,
      taken: () => this.#taken(),
    });
    this.#cards.read();
    this.#fromAddress();
    this.#show();
    this.addEventListener("input", (event) => this.#typed(event.target));
    this.addEventListener("focusin", () => this.#want(), { once: true });
    this.addEventListener("submit", (event) => event.preventDefault());
    store.onChange("system", () => this.#show());
    store.onChange("card", () => {
      this.#cards.read();
      this.#show();
      if (this.#wanted) this.#ask();
    });
    addEventListener("hashchange", () => {
      if (!this.#fromAddress()) return;
      this.#show();
      this.#want();
      this.#ask();
    });
    this.runtime.addEventListener("state", () => this.#tellState());
    new IntersectionObserver(
      (seen, observer) => {
        if (!seen.some((entry) => entry.isIntersecting)) return;
        observer.disconnect();
        this.#want();
      },
      { rootMargin: "300px" },
    ).observe(this);
  }

  /** Live answers from now on. */
  #want() {
    if (this.#wanted) return;
    this.#wanted = true;
    this.#ask();
  }

  #question() {
    return JSON.stringify(Object.fromEntries([...this.#exact, ...this.#given.token()]));
  }

  /** Inputs that a link may carry: all but what was pasted. */
  #forLink() {
    return this.#given.forLink(this.inputs());
  }

  /** Inputs as the calculators take them, without those that are files. */
  inputs() {
    const files = this.#given.files();
    return Object.fromEntries([...this.#exact].filter(([name]) => !(name in files)));
  }

  /** @param {EventTarget | null} target */
  #typed(target) {
    const entry = /** @type {Entry} */ (target);
    const input = this.#signature.inputs.find(({ name }) => name === entry.name);
    if (!input) return;
    const exact = withUnit(entry.value, input.units, store.system());
    this.#exact.set(input.name, exact);
    if (input.card) this.#cards.write(input);
    if (!this.#apart) putInAddress(this.id, this.#forLink());
    this.#wanted = true;
    this.toggleAttribute("data-stale", this.#question() !== this.#answered); // during a pause, too
    clearTimeout(this.#pause);
    if (this.#took > LONG) this.#pause = window.setTimeout(() => this.#ask(), PAUSE);
    else this.#ask();
  }

  async #ask() {
    clearTimeout(this.#pause);
    const question = this.#question();
    const live = this.dataset.answer === "live";
    if (live && question === this.#answered) {
      this.#clearProblems();
      this.removeAttribute("data-stale");
      this.#tellState();
      return;
    }
    this.toggleAttribute("data-stale", question !== this.#answered);
    this.#tellState();
    if (this.#given.busy) this.runtime.cancel(this); // nobody waits for the end of a long one
    const began = performance.now();
    this.#given.begin();
    try {
      const name = this.getAttribute("name") ?? "";
      for (const quick of this.hasAttribute("data-quick") ? [true, false] : [false]) {
        const result = await this.runtime.ask(this, name, this.inputs(), quick, {
          files: this.#given.files(),
          progress: (share) => this.#given.progress(share),
        });
        if (question !== this.#question()) return;
        this.#took = performance.now() - began;
        this.#given.end();
        this.toggleAttribute("data-provisional", quick);
        this.#hear(result, question);
        if (result.problems) return;
      }
    } catch (failure) {
      const { kind, message } = /** @type {{kind?: string, message: string}} */ (failure);
      if (kind === "superseded" || kind === "cancelled") return;
      this.#given.end();
      this.#fail(message);
    }
  }

  /** Give up a long answer; the former one stays. */
  #stop() {
    this.runtime.cancel(this);
    this.#given.end();
    this.#tellState(STOPPED);
    this.#say(STOPPED);
    const again = /** @type {HTMLElement} */ (this.querySelector('[data-do="again"]'));
    again.hidden = false;
    again.focus();
  }

  /** @param {any} result @param {string} question */
  #hear(result, question) {
    this.#clearProblems();
    if (result.problems) {
      this.#given.refused(result.problems);
      this.#tellProblems(result.problems);
      return;
    }
    putAnswers(this, result);
    this.#given.about(result);
    this.#answered = question;
    this.dataset.answer = "live";
    this.removeAttribute("data-stale");
    this.#tellState();
    if (this.hasAttribute("data-provisional")) this.#tellState(FIRST_LOOK);
    else this.#announce(result);
    this.dispatchEvent(new CustomEvent("answered", { detail: result, bubbles: true }));
  }

  /** @param {{field: string, sentence: string}[]} problems */
  #tellProblems(problems) {
    const loose = [];
    for (const { field, sentence } of problems) {
      const entry = this.#entries.get(field);
      const place = this.querySelector(`[data-field="${field}"] .dg-problem`);
      if (!entry || !place) {
        loose.push(sentence);
        continue;
      }
      entry.setAttribute("aria-invalid", "true");
      place.textContent = sentence;
      /** @type {HTMLElement} */ (place).hidden = false;
      const details = entry.closest("details");
      if (details) details.open = true;
    }
    this.setAttribute("data-stale", "");
    this.#tellState([...loose, KEPT].join(" "));
    this.#say([...problems.map(({ sentence }) => sentence), KEPT].join(" "));
  }

  #clearProblems() {
    for (const entry of this.#entries.values()) entry.removeAttribute("aria-invalid");
    for (const place of this.querySelectorAll(".dg-problem")) {
      /** @type {HTMLElement} */ (place).hidden = true;
      place.textContent = "";
    }
  }

  /** @param {string} message */
  #fail(message) {
    const kept = this.dataset.answer === "prepared" && this.#question() !== this.#prepared;
    const whose = kept ? ` They were made for: ${this.#listPrepared()}.` : "";
    this.#tellState(message + whose, true);
    this.#say(message + whose);
  }

  #listPrepared() {
    const prepared = JSON.parse(this.#prepared);
    return this.#signature.inputs
      .filter(({ name, pasted }) => prepared[name] && !pasted)
      .map(({ name, units }) => {
        const label = this.querySelector(`[data-field="${name}"] label`)?.textContent ?? name;
        const system = store.system();
        const symbol = units ? ` ${units[system].symbol}` : "";
        return `${label} ${inSystem(prepared[name], units, system)}${symbol}`;
      })
      .join("; ");
  }

  /** @param {string} [sentence] @param {boolean} [failed] */
  #tellState(sentence, failed = false) {
    const place = this.querySelector("[data-state]");
    if (!place || (sentence === undefined && this.runtime.state === "failed")) return;
    const live = this.dataset.answer === "live";
    const starting = this.#wanted && !live;
    place.textContent = sentence ?? (live ? LIVE : starting ? STARTING : place.textContent);
    this.toggleAttribute("data-failed", failed);
    /** @type {HTMLElement} */ (this.querySelector('[data-do="again"]')).hidden = !failed;
  }

  /** Tell a screen reader once typing has paused. @param {any} result */
  #announce(result) {
    const first = this.querySelector(".dg-first output, .dg-rest output");
    const label = first?.closest(".dg-one")?.querySelector("dt")?.firstChild?.textContent ?? "";
    const words = result.shown[/** @type {HTMLOutputElement} */ (first)?.name]?.[store.system()];
    if (this.contains(document.activeElement)) {
      this.#say(`${label.trim()}${words ? `: ${words}. ` : ""}${result.advice}`);
    }
  }

  /** @param {string} sentence */
  #say(sentence) {
    clearTimeout(announced);
    announced = window.setTimeout(() => {
      const place = this.querySelector(".dg-say");
      if (place) place.textContent = sentence;
    }, 700);
  }

  /** Put every exact text into its field, in the reader's units, but never into a field in use. */
  #show() {
    const system = store.system();
    for (const { name, units } of this.#signature.inputs) {
      const entry = this.#entries.get(name);
      if (!entry) continue;
      const unit = this.querySelector(`[data-field="${name}"] .dg-unit`);
      if (unit && units) unit.textContent = units[system].symbol;
      const exact = this.#exact.get(name) ?? "";
      if (withUnit(entry.value, units, system) !== exact) {
        entry.value = inSystem(exact, units, system);
      }
    }
    this.#units.show();
    this.#cards.show();
  }

  /** A ready card was taken: its numbers are asked for, and go into the address. */
  #taken() {
    this.#wanted = true;
    this.#show();
    if (this.#apart) this.#ask();
    else putInAddress(this.id, this.#forLink());
  }

  /** Take the inputs of a link that names this calculator; return whether there was one. */
  #fromAddress() {
    const link = inputsInAddress();
    if (this.#apart || !link || link.id !== this.id) return false;
    /** @type {Map<string, Record<string, string>>} */
    const cards = new Map();
    for (const { name, card } of this.#signature.inputs) {
      const text = link.inputs[name];
      if (text === undefined) continue;
      if (card) cards.set(card, { ...cards.get(card), [name]: text });
      else this.#exact.set(name, text);
    }
    for (const [card, fields] of cards) {
      if (JSON.stringify(fields) !== JSON.stringify(store.card(card))) {
        store.welcomeCard(card, fields);
      }
    }
    this.#cards.read();
    this.scrollIntoView();
    return true;
  }

  #addTools() {
    this.querySelector(".dg-question")?.after(this.#units.element);
    const foot = document.createElement("div");
    foot.className = "dg-foot";
    const again = button("again", "Try again", () => this.#ask());
    again.hidden = true;
    foot.append(again);
    if (!this.#apart) {
      foot.append(
        button("copy-link", "Copy a link with these numbers", async (copying) => {
          putInAddress(this.id, this.#forLink());
          this.#say(await copyAddress(addressWith(this.id, this.#forLink()), copying));
        }),
      );
    }
    this.querySelector(".dg-state")?.after(foot);
  }
}
