// What can go wrong with live answers, each with the sentence a reader sees.

/**
 * @typedef {"unsupported" | "fetch" | "folder" | "died" | "silent" | "superseded" | "cancelled"
 *   | "python"} FailureKind
 */

const PREPARED = "The answers already on the page hold for the inputs shown with them.";

/** @type {Record<FailureKind, (detail: string) => string>} */
const SENTENCES = {
  unsupported: (lacking) =>
    `This browser cannot work out live answers: it has no ${lacking}. ${PREPARED} A newer browser can.`,
  fetch: (detail) =>
    `Live answers could not be loaded: ${detail}. ${PREPARED} Check the connection, then try again.`,
  folder: (detail) =>
    `Live answers could not be loaded: this folder is not complete, ${detail}. ${PREPARED} Copy the whole folder again.`,
  died: (detail) =>
    `The calculators stopped unexpectedly (${detail}). ${PREPARED} Change an input to start them again.`,
  silent: (seconds) =>
    `The calculators gave no sign for ${seconds} seconds and were stopped. ${PREPARED} Try again; closing other pages may help.`,
  superseded: () => "A newer question has taken this one's place.",
  cancelled: () => "This was stopped.",
  python: (sentence) => sentence,
};

/** A failure of the runtime; `message` is a plain sentence for the reader. */
export class RuntimeFailure extends Error {
  /**
   * @param {FailureKind} kind
   * @param {string} detail
   */
  constructor(kind, detail = "") {
    super(SENTENCES[kind](detail));
    this.name = "RuntimeFailure";
    this.kind = kind;
  }
}
