// @ts-check
/**
 * Rows that are also drawn. In: a figure's table, prepared or live, and what of it to draw
 * (`data-chart`, from `calculators.fields.Chart`). Out: pictures above the table, which stays
 * behind “The numbers behind the picture”. A script of its own: only pages with a chart load it.
 */

import { drawBars } from "./chart-bars.js";
import { drawLines, pointsForMoving } from "./chart-lines.js";
import { Moves } from "./chart-moves.js";
import { readTable } from "./chart-table.js";

/** @typedef {import("./numbers.js").System} System */

/** @param {HTMLElement} figure */
function start(figure) {
  const holder = document.createElement("div");
  holder.className = "dg-chart";
  const table = figure.querySelector(".dg-table");
  if (!table) return;
  const behind = document.createElement("details");
  behind.className = "dg-behind";
  behind.append(
    Object.assign(document.createElement("summary"), {
      textContent: "The numbers behind the picture",
    }),
  );
  table.before(holder, behind);
  behind.append(table);
  const moves = new Moves(() => draw());
  let width = 0;

  function draw() {
    const system = /** @type {System} */ (
      document.documentElement.dataset.units === "us" ? "us" : "metric"
    );
    const data = readTable(figure, system);
    holder.hidden = data.rows.length === 0;
    if (!width || holder.hidden) return;
    const caption = figure.querySelector("figcaption")?.firstChild?.textContent?.trim() ?? "";
    if (data.along.words) {
      holder.replaceChildren(...drawBars(data, width, caption));
      return;
    }
    moves.over(data.rows.map((row) => row.at));
    const parts = drawLines(data, width, caption, moves.window);
    if (data.rows.length > pointsForMoving) parts.push(moves.tools(data.along));
    moves.keepingFocus(() => holder.replaceChildren(...parts));
  }

  figure.addEventListener("rows", () => setTimeout(draw)); // a turn of its own: the rows took one
  new MutationObserver(draw).observe(document.documentElement, { attributeFilter: ["data-units"] });
  new ResizeObserver(([{ contentRect }]) => {
    if (Math.round(contentRect.width) === width) return;
    width = Math.round(contentRect.width);
    draw();
  }).observe(holder);
}

function startAll() {
  for (const figure of document.querySelectorAll("figure[data-chart]")) {
    start(/** @type {HTMLElement} */ (figure));
  }
}

if (document.readyState === "loading") addEventListener("DOMContentLoaded", startAll);
else startAll();
