// @ts-check
/** A figure's table as data to draw, in the reader's units. */

import { convert } from "./numbers.js";

/** @typedef {{name: string, label: string, symbol: string, words: boolean}} Column */
/**
 * One row: `at` is its place along the axis (a number, or milliseconds of a clock time), `label`
 * its words there, `values` and `words` its columns.
 * @typedef {{at: number, label: string, values: Record<string, number>, words: Record<string, string>}} Row
 */
/**
 * `levels` is a band that is the same all along, in the unit of the first line; `moment` a time
 * that is marked, with its words.
 * @typedef {{along: Column, clock: boolean, lines: Column[], band: Column[], rows: Row[],
 *   levels?: [number, number], moment?: {at: number, label: string}}} Data
 */

const CLOCK = /^(\d{4}-\d\d-\d\d)[ T](\d\d:\d\d(?::\d\d)?)$/;

/** @param {HTMLElement} figure @param {import("./numbers.js").System} system @returns {Data} */
export function readTable(figure, system) {
  const chart = JSON.parse(figure.dataset.chart ?? "{}");
  const column = (/** @type {string} */ name) => ({
    name,
    label: chart.columns[name].label,
    symbol: chart.columns[name].units?.[system].symbol ?? "",
    words: !chart.columns[name].units,
  });
  const names = [...chart.lines, ...(chart.band ?? [])];
  const rows = [...figure.querySelectorAll("tbody tr")].map((line) => {
    /** @type {Row} */
    const row = { at: NaN, label: "", values: {}, words: {} };
    for (const name of [chart.along, ...names]) {
      const cell = /** @type {HTMLElement | null} */ (line.querySelector(`[data-column="${name}"]`));
      const text = cell?.dataset.value ?? "";
      const units = chart.columns[name].units;
      row.values[name] = text && units ? convert(Number(text), units, system) : NaN;
      row.words[name] = (cell?.querySelector(`.dg-${system}`) ?? cell)?.textContent?.trim() ?? "";
    }
    row.label = row.words[chart.along];
    row.at = clock(row.label) ?? row.values[chart.along];
    return row;
  });
  const along = column(chart.along);
  const timed = along.words && rows.length > 0 && rows.every((row) => Number.isFinite(row.at));
  if (timed) along.words = false;
  const first = chart.columns[chart.lines[0]].units;
  const edges = JSON.parse(figure.dataset.levels ?? "null");
  return {
    along,
    clock: timed,
    levels: edges?.map((/** @type {number} */ edge) => convert(edge, first, system)),
    moment: timed && chart.moment ? moment(figure, chart.moment) : undefined,
    lines: chart.lines.map(column),
    band: (chart.band ?? []).map(column),
    rows,
  };
}

/** @param {HTMLElement} figure @param {string} name of an answer that starts with a clock time */
function moment(figure, name) {
  const root = figure.closest("dewglass-calculator") ?? document;
  const output = root.querySelector(`output[name="${name}"]`);
  const text = /** @type {HTMLElement | null} */ (output)?.dataset.value ?? "";
  const at = clock(text.slice(0, 16));
  return at === undefined ? undefined : { at, label: text };
}

/** @param {string} text @returns {number | undefined} the clock's time, in no zone at all */
function clock(text) {
  const match = CLOCK.exec(text);
  return match ? Date.parse(`${match[1]}T${match[2]}Z`) : undefined;
}
