// @ts-check
/**
 * Lines over an axis: one panel for each unit, all over the same stretch. Lines are told apart by
 * their dashes and named in a key; the band is shaded and named too.
 */

import { areaY, gridY, lineY, plot, ruleX, ruleY } from "@observablehq/plot";

import { nameDrawing } from "./chart-name.js";

/** @typedef {import("./chart-table.js").Data} Data */
/** @typedef {import("./chart-table.js").Column} Column */
/** @typedef {import("./chart-table.js").Row} Row */

/** From so many points on, a reader may want a closer look. */
export const pointsForMoving = 200;

const DASHES = ["", "7 4", "2 4", "11 4 2 4"];
const INKS = ["var(--dg-accent)", "var(--dg-ink)", "var(--dg-quiet)", "var(--dg-ink)"];
const SIZE = 13;

/**
 * Return the panels and their keys.
 * @param {Data} data @param {number} width @param {string} caption @param {[number, number]} window
 */
export function drawLines(data, width, caption, window) {
  const symbols = [...new Set(data.lines.map(({ symbol }) => symbol))];
  /** @type {Element[]} */
  const parts = [];
  symbols.forEach((symbol, index) => {
    const lines = data.lines.filter((line) => line.symbol === symbol);
    const band = data.band.length && data.band[0].symbol === symbol ? data.band : [];
    const last = index === symbols.length - 1;
    const levels = index === 0 ? data.levels : undefined;
    parts.push(key(data, lines, band, levels), panel(data, lines, band, width, caption, window, last));
  });
  return parts;
}

/** @param {Column[]} band @returns {string} “Target” for columns “Target, from” and “Target, to” */
function bandName(band) {
  return band[0].label.split(",")[0];
}

/**
 * @param {Data} data @param {Column[]} lines @param {Column[]} band
 * @param {[number, number] | undefined} levels
 * @returns {HTMLElement} what each line is, with a piece of it
 */
function key({ lines: [first], moment }, lines, band, levels) {
  const list = document.createElement("ul");
  list.className = "dg-key";
  lines.forEach((line, index) => {
    const piece = `<path d="M1 7h32" fill="none" stroke="${INKS[index]}" stroke-width="2.5" stroke-dasharray="${DASHES[index]}"/>`;
    const { symbol } = line;
    list.append(keyItem(piece, symbol ? `${line.label}, ${symbol}` : line.label));
  });
  if (band.length) {
    const piece = `<rect x="1" y="1" width="32" height="12" fill="var(--dg-accent)" fill-opacity="0.16" stroke="var(--dg-accent)" stroke-dasharray="1 3"/>`;
    list.append(keyItem(piece, bandName(band)));
  }
  if (levels) {
    const [from, to] = levels;
    const band = `<rect x="1" y="3" width="32" height="8" fill="var(--dg-accent)" fill-opacity="0.16" stroke="var(--dg-accent)" stroke-dasharray="1 3"/>`;
    const outside = `<path d="M1 12 12 2l9 10z" fill="var(--dg-problem)" fill-opacity="0.35"/><path d="M1 12h32" stroke="var(--dg-accent)" stroke-dasharray="1 3"/>`;
    list.append(keyItem(band, `Band, ${neat(from)} to ${neat(to)} ${lines[0].symbol}`));
    list.append(keyItem(outside, "Outside the band"));
  }
  if (moment && lines[0] === first) {
    const piece = `<path d="M17 0v14" stroke="var(--dg-ink)" stroke-width="2" stroke-dasharray="3 2"/>`;
    list.append(keyItem(piece, `Change, ${moment.label}`));
  }
  return list;
}

/** @param {number} value */
function neat(value) {
  return String(Number(value.toPrecision(3)));
}

/** @param {string} piece @param {string} label */
function keyItem(piece, label) {
  const item = document.createElement("li");
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="34" height="14" aria-hidden="true">${piece}</svg>`;
  const drawing = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  item.append(document.importNode(drawing, true), ` ${label}`);
  return item;
}

/**
 * @param {Data} data @param {Column[]} lines @param {Column[]} band @param {number} width
 * @param {string} caption @param {[number, number]} window @param {boolean} last
 */
function panel(data, lines, band, width, caption, window, last) {
  const rows = within(data.rows, window);
  // The whole stretch sets the height, so that moving about does not change the scale.
  const heights = [...lines, ...band].flatMap(({ name }) => data.rows.map((r) => r.values[name]));
  const levels = lines[0] === data.lines[0] ? data.levels : undefined;
  heights.push(...(levels ?? []));
  const [low, high] = ends(heights);
  const room = (high - low || Math.abs(high) || 1) * 0.06;
  const x = (/** @type {Row} */ row) => (data.clock ? new Date(row.at) : row.at);
  const edges = window.map((at) => (data.clock ? new Date(at) : at));
  const marks = [gridY({ stroke: "currentColor", strokeOpacity: 0.15 })];
  if (band.length) {
    const [from, to] = band.map(({ name }) => (/** @type {Row} */ row) => row.values[name]);
    marks.push(areaY(rows, { x, y1: from, y2: to, fill: "var(--dg-accent)", fillOpacity: 0.16, clip: true }));
    for (const y of [from, to]) {
      marks.push(lineY(rows, { x, y, stroke: "var(--dg-accent)", strokeDasharray: "1 3", clip: true }));
    }
  }
  if (levels) marks.push(...outside(rows, x, lines[0].name, levels));
  if (data.moment && data.moment.at >= window[0] && data.moment.at <= window[1]) {
    const at = [new Date(data.moment.at)];
    marks.push(ruleX(at, { stroke: "var(--dg-ink)", strokeWidth: 2, strokeDasharray: "3 2" }));
  }
  lines.forEach(({ name }, index) => {
    marks.push(
      lineY(rows, {
        x,
        y: (/** @type {Row} */ row) => row.values[name],
        stroke: INKS[index],
        strokeWidth: rows.length > 400 ? 1.5 : 2.2,
        strokeDasharray: DASHES[index] || "none",
        clip: true,
      }),
    );
  });
  marks.push(ruleY([low - room], { stroke: "currentColor", strokeOpacity: 0.6 }));
  const unit = data.along.symbol ? `${data.along.label}, ${data.along.symbol}` : data.along.label;
  const drawing = plot({
    width,
    height: Math.round(Math.min(Math.max(width * 0.42, 150), 250)) + (last ? 30 : 0),
    marginLeft: 40,
    marginRight: 14,
    marginTop: 10,
    marginBottom: last ? 44 : 22,
    style: { fontSize: `${SIZE}px`, fontFamily: "inherit", background: "none", overflow: "visible" },
    x: {
      type: data.clock ? "utc" : "linear",
      domain: edges,
      label: last && !data.clock ? unit : null,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: data.clock ? clockTick : undefined,
      ticks: Math.max(Math.floor((width - 60) / (data.clock ? 80 : 60)), 3),
    },
    y: { domain: [low - room, high + room], label: null, ticks: 5, nice: false },
    marks,
  });
  const named = lines.map(({ label, symbol }) => (symbol ? `${label} in ${symbol}` : label));
  nameDrawing(drawing, `${caption}: ${told(data, lines, named)}`);
  return drawing;
}

/**
 * A level band, and the stretches outside it filled from its edge to the line.
 * @param {Row[]} rows @param {(row: Row) => number | Date} x @param {string} name
 * @param {[number, number]} levels
 */
function outside(rows, x, name, [low, high]) {
  const accent = "var(--dg-accent)";
  const filled = { x, fill: "var(--dg-problem)", fillOpacity: 0.35, clip: true };
  const y2 = (/** @type {Row} */ row) => row.values[name];
  return [
    areaY(rows, { x, y1: low, y2: high, fill: accent, fillOpacity: 0.16, clip: true }),
    ruleY([low, high], { stroke: accent, strokeDasharray: "1 3" }),
    areaY(rows, { ...filled, y1: low, y2: (row) => Math.min(y2(row), low) }),
    areaY(rows, { ...filled, y1: high, y2: (row) => Math.max(y2(row), high) }),
  ];
}

/** The hour as a log writes it, and the day where it begins. @param {Date} time @param {number} index */
function clockTick(time, index) {
  const [day, hour] = time.toISOString().split("T");
  const midnight = hour.startsWith("00:00");
  if (midnight && index > 0) return day.slice(5);
  return index === 0 ? `${hour.slice(0, 5)}\n${day}` : hour.slice(0, 5);
}

/** @param {Data} data @param {Column[]} lines @param {string[]} named */
function told({ rows, along, lines: all }, lines, named) {
  const span = `from ${rows[0].label} to ${rows[rows.length - 1].label}`;
  const parts = lines.map(({ name }, index) => {
    const known = rows.filter((row) => Number.isFinite(row.values[name]));
    if (!known.length) return `${named[index]}, no values`;
    const sorted = [...known].sort((a, b) => a.values[name] - b.values[name]);
    return `${named[index]}, lowest ${sorted[0].words[name]}, highest ${sorted[sorted.length - 1].words[name]}`;
  });
  return `${parts.join("; ")}; ${along.label} ${span}. ${all.length > 1 ? "All" : "Its"} numbers stand in the table.`;
}

/** @param {number[]} values @returns {[number, number]} */
function ends(values) {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low <= high ? [low, high] : [0, 1];
}

/** The rows in the window and one on each side. @param {Row[]} rows @param {[number, number]} window */
function within(rows, [from, to]) {
  const first = rows.findIndex((row) => row.at >= from);
  const past = rows.findIndex((row) => row.at > to);
  return rows.slice(Math.max(first - 1, 0), past < 0 ? rows.length : past + 1);
}
