// @ts-check
/**
 * What a reader's visit holds: the system of units, and cards (the tank) shared by every
 * calculator. Kept on the device only. A card that came with a link is a visitor: it is shown
 * until the reader goes back to their own, which it never overwrites.
 */

/** @typedef {import("./numbers.js").System} System */
/** @typedef {Record<string, string>} Card */

const PREFIX = "dewglass.";
const changes = new EventTarget();

/** @param {"localStorage" | "sessionStorage"} where @param {string} key */
function read(where, key) {
  try {
    return window[where].getItem(PREFIX + key);
  } catch {
    return memory.get(where + key) ?? null; // storage is blocked: hold it for this page
  }
}

/** @param {"localStorage" | "sessionStorage"} where @param {string} key @param {string | null} value */
function write(where, key, value) {
  try {
    if (value === null) window[where].removeItem(PREFIX + key);
    else window[where].setItem(PREFIX + key, value);
  } catch {
    if (value === null) memory.delete(where + key);
    else memory.set(where + key, value);
  }
}

/** @type {Map<string, string>} */
const memory = new Map();

/** @returns {System} */
export function system() {
  return read("localStorage", "units") === "us" ? "us" : "metric";
}

/** @param {System} value */
export function setSystem(value) {
  write("localStorage", "units", value);
  document.documentElement.dataset.units = value;
  changes.dispatchEvent(new Event("system"));
}

/** @param {string} name @returns {Card} the card in use, empty when the reader has none */
export function card(name) {
  const text = read("sessionStorage", `visitor.${name}`) ?? read("localStorage", `card.${name}`);
  try {
    return text ? JSON.parse(text) : {};
  } catch {
    return {};
  }
}

/** @param {string} name */
export function isVisitor(name) {
  return read("sessionStorage", `visitor.${name}`) !== null;
}

/** @param {string} name @returns {string[]} the fields of the reader's own card they have typed */
export function typedFields(name) {
  return JSON.parse(read("localStorage", `typed.${name}`) ?? "[]");
}

/**
 * Change a card; the rest of it stays.
 * @param {string} name @param {Card} fields @param {string[]} typed those a reader has typed
 */
export function changeCard(name, fields, typed = Object.keys(fields)) {
  const all = new Set([...typedFields(name), ...typed]);
  if (!isVisitor(name)) write("localStorage", `typed.${name}`, JSON.stringify([...all]));
  const text = JSON.stringify({ ...card(name), ...fields });
  if (isVisitor(name)) write("sessionStorage", `visitor.${name}`, text);
  else write("localStorage", `card.${name}`, text);
  changes.dispatchEvent(new CustomEvent("card", { detail: name }));
}

/** @param {string} name @param {Card} fields a whole card that came with a link */
export function welcomeCard(name, fields) {
  write("sessionStorage", `visitor.${name}`, JSON.stringify(fields));
  changes.dispatchEvent(new CustomEvent("card", { detail: name }));
}

/** @param {string} name */
export function ownCard(name) {
  write("sessionStorage", `visitor.${name}`, null);
  changes.dispatchEvent(new CustomEvent("card", { detail: name }));
}

/** @param {"system" | "card"} what @param {() => void} listener */
export function onChange(what, listener) {
  changes.addEventListener(what, listener);
}
