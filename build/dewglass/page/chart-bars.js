// @ts-check
/**
 * Amounts by name as level bars, one group for each column, all to one scale: what comes in is
 * full, what goes out is hollow, and each group is headed by its name.
 */

import { barX, plot, ruleX, text } from "@observablehq/plot";

import { nameDrawing } from "./chart-name.js";

/** @typedef {import("./chart-table.js").Data} Data */
/** @typedef {import("./chart-table.js").Row} Row */

const SIZE = 13;
const STEP = 42; // a name, its bar below, and a gap

/**
 * Return a heading and a picture for each column of amounts.
 * @param {Data} data @param {number} width @param {string} caption
 */
export function drawBars(data, width, caption) {
  const most = Math.max(...data.lines.flatMap(({ name }) => data.rows.map((r) => size(r, name))), 0);
  /** @type {Element[]} */
  const parts = [];
  data.lines.forEach(({ name, label }, index) => {
    const rows = data.rows.filter((row) => size(row, name) > 0);
    if (data.lines.length > 1) {
      const heading = document.createElement("p");
      heading.className = "dg-bars-heading";
      heading.textContent = rows.length ? label : `${label}: nothing`;
      parts.push(heading);
    }
    if (!rows.length) return;
    const amount = (/** @type {Row} */ row) => size(row, name);
    const place = (/** @type {Row} */ row) => data.rows.indexOf(row);
    const words = (/** @type {Row} */ row) => row.words[name];
    const wordsWide = Math.max(...rows.map((row) => words(row).length)) * SIZE * 0.58 + 8;
    const drawing = plot({
      width,
      height: rows.length * STEP + 4,
      marginLeft: 1,
      marginRight: Math.min(wordsWide, width * 0.6),
      marginTop: 0,
      marginBottom: 4,
      style: { fontSize: `${SIZE}px`, fontFamily: "inherit", background: "none", overflow: "visible" },
      x: { domain: [0, most || 1], axis: null },
      y: { domain: rows.map(place), axis: null, padding: 0 },
      marks: [
        barX(rows, {
          x: amount,
          y: place,
          insetTop: 20,
          insetBottom: 6,
          fill: "var(--dg-accent)",
          fillOpacity: index ? 0.12 : 0.85,
          stroke: "var(--dg-accent)",
          strokeWidth: 1.5,
        }),
        ruleX([0], { stroke: "currentColor", strokeOpacity: 0.6 }),
        text(rows, {
          x: 0,
          y: place,
          text: "label",
          textAnchor: "start",
          dx: 4,
          dy: -STEP / 2 + 10,
          fill: "currentColor",
          lineWidth: (width - 8) / SIZE,
          textOverflow: "ellipsis",
        }),
        text(rows, {
          x: amount,
          y: place,
          text: words,
          textAnchor: "start",
          dx: 6,
          dy: 7,
          fill: "currentColor",
          fontWeight: 600,
        }),
      ],
    });
    const told = rows.map((row) => `${row.label} ${words(row)}`).join("; ");
    nameDrawing(drawing, `${caption}, ${label}: ${told}.`);
    parts.push(drawing);
  });
  return parts;
}

/** @param {Row} row @param {string} name */
function size(row, name) {
  return Number.isFinite(row.values[name]) ? Math.abs(row.values[name]) : 0;
}
