// @ts-check
/**
 * Questions that an answer asks back (`data-asks`), put beside the text they are about, with a
 * button for each choice. Choosing sets the input that answers it.
 */

/** @typedef {Record<string, {value: any}>} Row */

export class Asked {
  #place = document.createElement("div");

  /**
   * @param {Element} field the questions come after it
   * @param {(input: string, choice: string) => void} choose
   */
  constructor(field, choose) {
    this.choose = choose;
    this.#place.className = "dg-asks";
    this.#place.hidden = true;
    field.after(this.#place);
  }

  /** @param {Row[]} rows columns `input`, `sentence`, `choices` parted by |, `assumed` */
  put(rows) {
    this.#place.hidden = rows.length === 0;
    this.#place.replaceChildren(...rows.map((row) => this.#question(row)));
  }

  /** @param {Row} row */
  #question({ input, sentence, choices, assumed }) {
    const group = document.createElement("div");
    group.className = "dg-ask";
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", sentence.value);
    const text = document.createElement("p");
    text.textContent = `${sentence.value} `;
    const meanwhile = document.createElement("span");
    meanwhile.className = "dg-hint";
    meanwhile.textContent = `Until you choose, the answers below assume: ${assumed.value}.`;
    text.append(meanwhile);
    group.append(text);
    for (const choice of choices.value.split(" | ")) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "dg-button", textContent: choice });
      button.addEventListener("click", () => this.choose(input.value, choice));
      group.append(button);
    }
    return group;
  }
}
