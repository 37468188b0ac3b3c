// @ts-check
/**
 * Numbers as typed, with their units: what a units switch must never lose.
 *
 * In: text in a field. Out: text with its unit for the calculators, and text for the other system.
 */

/** @typedef {"metric" | "us"} System */
/** @typedef {{symbol: string, factor: number, offset: number}} Unit */
/** @typedef {Record<System, Unit>} Units */

const NUMBER = /^\s*([-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*$/;

/**
 * Return what was typed with the unit it was typed in; a unit typed by hand wins.
 * @param {string} text @param {Units | undefined} units @param {System} system
 */
export function withUnit(text, units, system) {
  if (!units || !text.trim()) return text.trim();
  const symbol = units[system].symbol;
  return text
    .trim()
    .split(/\s+(?=[-+−\d.,])/)
    .map((part) => (NUMBER.exec(part)?.[2] === "" && symbol ? `${part} ${symbol}` : part))
    .join(" ");
}

/**
 * Return exact text as shown in a system of units, to four figures where it had to be converted.
 * @param {string} exact @param {Units | undefined} units @param {System} system
 */
export function inSystem(exact, units, system) {
  const match = NUMBER.exec(exact);
  if (!units || !match) return exact;
  const [, digits, symbol] = match;
  const value = Number(digits.replace("−", "-").replace(",", "."));
  const target = units[system];
  const source = [units.metric, units.us].find((unit) => unit.symbol === symbol);
  if (!source) return exact;
  if (source.symbol === target.symbol) return neat(value);
  return neat(between(value, source, target));
}

/**
 * Return a number in the base unit as a number in a system of units.
 * @param {number} value @param {Units} units @param {System} system
 */
export function convert(value, units, system) {
  return system === "metric" ? value : between(value, units.metric, units.us);
}

/** @param {number} value @param {Unit} source @param {Unit} target */
function between(value, source, target) {
  const inside = value * source.factor + source.offset;
  return (inside - target.offset) / target.factor;
}

/** @param {number} value */
function neat(value) {
  return String(Number(value.toPrecision(4)));
}
