// @ts-check
/**
 * What every calculator is given beside its form: the units switch, buttons, a link to copy.
 */

import * as store from "./store.js";

/** @param {string} name @param {string} label @param {(button: HTMLButtonElement) => void} act */
export function button(name, label, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "dg-button";
  made.dataset.do = name;
  made.textContent = label;
  made.addEventListener("click", () => act(made));
  return made;
}

/**
 * Copy an address and say so on the button; returns what was said.
 * @param {string} address @param {HTMLButtonElement} copying
 */
export async function copyAddress(address, copying) {
  let said = "Copied";
  try {
    await navigator.clipboard.writeText(address);
  } catch {
    said = "The link is in the address bar: copy it there";
  }
  const label = copying.textContent;
  copying.textContent = said;
  setTimeout(() => (copying.textContent = label), 4000);
  return said;
}

/** Metric or US units, for the whole visit. */
export class UnitsSwitch {
  element = document.createElement("div");

  /** @param {HTMLElement} calculator whose id makes the choice's name its own */
  constructor(calculator) {
    this.element.className = "dg-tools";
    this.element.setAttribute("role", "group");
    this.element.setAttribute("aria-label", "Units");
    for (const [value, words] of /** @type {const} */ ([
      ["metric", "Metric"],
      ["us", "US units"],
    ])) {
      const choice = document.createElement("label");
      const radio = document.createElement("input");
      Object.assign(radio, { type: "radio", name: `${calculator.id}--units`, value });
      radio.addEventListener("change", () => store.setSystem(value));
      choice.append(radio, ` ${words}`);
      this.element.append(choice);
    }
  }

  show() {
    for (const radio of this.element.querySelectorAll("input")) {
      radio.checked = radio.value === store.system();
    }
  }
}
