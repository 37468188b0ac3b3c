// @ts-check
/**
 * A long text that a reader pastes, drops or chooses as a file. Short text stands in the box; a
 * file, or a paste too long for a box, is only named there, and its bytes go from the device's
 * disk to the worker. Nothing of it is kept, and nothing of it enters an address.
 */

/** A longer paste is treated as a file: a box of megabytes makes a page heavy. */
const LONGEST_TEXT = 100_000;

export class Pasted {
  /** @type {File | undefined} */
  file;
  #entry;
  #ways = document.createElement("span");
  #taken = document.createElement("p");
  #bar = document.createElement("div");
  #meter = document.createElement("progress");
  #said = document.createElement("span");
  /** @type {HTMLButtonElement} */
  #choose;

  /**
   * @param {HTMLTextAreaElement} entry
   * @param {() => void} another what comes now is another text
   * @param {() => void} changed it has come
   * @param {() => void} stop
   */
  constructor(entry, another, changed, stop) {
    this.#entry = entry;
    this.another = another;
    this.changed = changed;
    const label = entry.labels?.[0]?.textContent?.trim() ?? "";
    const chooser = Object.assign(document.createElement("input"), { type: "file", hidden: true });
    chooser.addEventListener("input", (event) => event.stopPropagation());
    chooser.addEventListener("change", () => {
      this.#take(chooser.files?.[0]);
      chooser.value = ""; // the same file again, after it was changed, is a change
    });
    this.#choose = button("Choose a file", () => chooser.click());
    this.#choose.dataset.do = "choose-file";
    const tools = document.createElement("p");
    tools.className = "dg-give";
    this.#ways.textContent = " or drop it here, or paste its text below.";
    tools.append(this.#choose, this.#ways, chooser);

    this.#taken.className = "dg-taken";
    this.#taken.hidden = true;

    this.#bar.className = "dg-busy";
    this.#bar.hidden = true;
    this.#meter.max = 1;
    this.#meter.setAttribute("aria-label", `Reading: ${label}`);
    const cancel = button("Cancel", stop);
    cancel.dataset.do = "cancel";
    this.#bar.append(this.#meter, this.#said, cancel);

    entry.before(tools, this.#taken);
    entry.after(this.#bar);
    entry.addEventListener("paste", (event) => this.#pasted(event));
    this.#dropOn(/** @type {HTMLElement} */ (entry.closest(".dg-field") ?? entry));
  }

  /** What tells one given text from another, without the text. */
  get token() {
    const { file } = this;
    return file ? [file.name, file.size, file.lastModified].join("/") : "";
  }

  /** Show how far a long text is read; without a share, that it is done. @param {number} [share] */
  progress(share) {
    this.#bar.hidden = share === undefined;
    if (share === undefined) return;
    const hundredths = Math.round(share * 100);
    if (this.#meter.value === hundredths / 100) return;
    this.#meter.value = hundredths / 100;
    this.#said.textContent = `Reading ${this.file?.name ?? "the text"}: ${hundredths} %`;
  }

  /** Go back to the box. */
  remove() {
    this.file = undefined;
    this.#taken.hidden = true;
    this.#ways.hidden = this.#entry.hidden = false;
    this.#choose.focus();
    this.another();
    this.changed();
  }

  /** @param {File | undefined} file @param {string} [more] what else to say */
  #take(file, more = "") {
    if (!file) return;
    this.file = file;
    const away = button("Remove", () => this.remove());
    away.dataset.do = "remove-file";
    const name = document.createElement("strong");
    name.textContent = file.name;
    this.#taken.replaceChildren(
      name,
      ` (${size(file.size)}). Read on this device only; it is not sent and not kept. ${more}`,
      away,
    );
    this.#taken.hidden = false;
    this.#ways.hidden = this.#entry.hidden = true;
    this.another();
    this.changed();
  }

  /** @param {ClipboardEvent} event */
  #pasted(event) {
    const [file] = event.clipboardData?.files ?? [];
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (text.length > LONGEST_TEXT) {
      event.preventDefault();
      this.#take(new File([text], "Pasted text", { lastModified: Date.now() }));
      this.#choose.focus();
    } else if (file && !text) {
      event.preventDefault();
      this.#take(file);
    } else if (this.#entry.selectionEnd - this.#entry.selectionStart === this.#entry.value.length) {
      this.another(); // all of the box is replaced; its own event tells that the text has come
    }
  }

  /** @param {HTMLElement} place */
  #dropOn(place) {
    const holdsFile = (/** @type {DragEvent} */ event) =>
      event.dataTransfer?.types.includes("Files") ?? false;
    place.addEventListener("dragover", (event) => {
      if (!holdsFile(event)) return; // a dragged text goes into the box
      event.preventDefault();
      place.toggleAttribute("data-over", true);
    });
    for (const end of ["dragleave", "drop"]) {
      place.addEventListener(end, () => place.removeAttribute("data-over"));
    }
    place.addEventListener("drop", (event) => {
      if (!holdsFile(event)) return;
      event.preventDefault();
      const files = event.dataTransfer?.files;
      const more = (files?.length ?? 0) > 1 ? "Only the first of the files was taken. " : "";
      this.#take(files?.[0], more);
    });
  }
}

/** @param {string} label @param {() => void} act */
function button(label, act) {
  const made = document.createElement("button");
  Object.assign(made, { type: "button", className: "dg-button", textContent: label });
  made.addEventListener("click", act);
  return made;
}

/** @param {number} bytes */
function size(bytes) {
  if (bytes < 1000) return `${bytes} bytes`;
  return bytes < 1e6 ? `${(bytes / 1e3).toPrecision(3)} kB` : `${(bytes / 1e6).toPrecision(3)} MB`;
}
