// @ts-check
/**
 * A document from the calculators, put into the page's own HTML: nothing is built that the
 * static page does not already hold.
 */

/** @typedef {{metric: string, us: string}} Words */
/** @typedef {{value: number | string | null, low?: number, high?: number, unit?: string}} Raw */

/** So many rows are made without a breath: more would hold up the page. */
const AT_ONCE = 200;
/** The rows being put into each figure, so that older ones give up. @type {WeakMap<Element, {}>} */
const newest = new WeakMap();

/** @param {Element} place @param {Words} words */
function putWords(place, words) {
  place.replaceChildren();
  if (words.metric === words.us) {
    place.append(Object.assign(document.createElement("span"), { textContent: words.metric }));
    return;
  }
  for (const system of /** @type {const} */ (["metric", "us"])) {
    const span = document.createElement("span");
    span.className = `dg-${system}`;
    span.textContent = words[system];
    place.append(span, " ");
  }
}

/** @param {HTMLElement} place @param {Raw} raw */
function putRaw(place, raw) {
  place.dataset.value = raw.value === null ? "" : String(raw.value);
  for (const edge of /** @type {const} */ (["low", "high"])) {
    if (raw[edge] === undefined) delete place.dataset[edge];
    else place.dataset[edge] = String(raw[edge]);
  }
}

/** @param {Element} root @param {any} result the document of `calculators.ask` */
export function putAnswers(root, result) {
  for (const output of root.querySelectorAll("output")) {
    const raw = result.answers[output.name];
    if (!raw) continue;
    putRaw(output, raw);
    putWords(output, result.shown[output.name]);
  }
  for (const figure of root.querySelectorAll("[data-rows]")) {
    const name = /** @type {HTMLElement} */ (figure).dataset.rows ?? "";
    const { levels } = JSON.parse(/** @type {HTMLElement} */ (figure).dataset.chart ?? "{}");
    if (levels) {
      const edges = levels.map((/** @type {string} */ input) => result.inputs[input].value);
      figure.setAttribute("data-levels", JSON.stringify(edges));
    }
    putRows(figure, result.answers[name], result.shown[name]);
  }
  for (const place of root.querySelectorAll("[data-words]")) {
    putSentences(/** @type {HTMLElement} */ (place), result);
  }
  for (const place of root.querySelectorAll("[data-drawing]")) {
    putDrawing(place, result.drawings[/** @type {HTMLElement} */ (place).dataset.drawing ?? ""]);
  }
}

/** @param {Element} place @param {string} text one svg element; read as XML, so no script runs */
function putDrawing(place, text) {
  const drawing = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  place.replaceChildren(document.importNode(drawing, true));
}

/** @param {HTMLElement} place @param {any} result */
function putSentences(place, result) {
  const words = result[place.dataset.words ?? ""];
  place.hidden = words.length === 0;
  const list = place.querySelector("ul");
  if (!list) {
    place.textContent = words;
    return;
  }
  list.replaceChildren(
    ...words.map((/** @type {string} */ text) =>
      Object.assign(document.createElement("li"), { textContent: text }),
    ),
  );
}

/** @param {Element} figure @param {Record<string, Raw>[]} raws @param {Record<string, Words>[]} shown */
async function putRows(figure, raws, shown) {
  const template = figure.querySelector("template");
  const body = figure.querySelector("[data-body]");
  if (!template || !body) return;
  const put = {};
  newest.set(figure, put);
  /** @type {Element[]} */
  const rows = [];
  for (let from = 0; from < raws.length; from += AT_ONCE) {
    if (from) await new Promise((resolve) => setTimeout(resolve));
    if (newest.get(figure) !== put) return;
    const to = from + AT_ONCE;
    rows.push(...fill(figure, template, raws.slice(from, to), shown.slice(from, to)));
  }
  body.replaceChildren(...rows);
  /** @type {HTMLElement} */ (figure).hidden = rows.length === 0;
  figure.dispatchEvent(new CustomEvent("rows", { bubbles: true }));
}

/**
 * @param {Element} figure @param {HTMLTemplateElement} template
 * @param {Record<string, Raw>[]} raws @param {Record<string, Words>[]} shown
 */
function fill(figure, template, raws, shown) {
  return raws.map((raw, index) => {
    const row = /** @type {Element} */ (template.content.cloneNode(true));
    for (const cell of row.querySelectorAll("[data-column]")) {
      const place = /** @type {HTMLElement} */ (cell);
      const column = place.dataset.column ?? "";
      putRaw(place, raw[column]);
      putWords(place, shown[index][column]);
      const part = /** @type {HTMLElement | null} */ (place.closest("[data-part]"));
      if (part) part.hidden = raw[column].value === null || raw[column].value === "";
    }
    const card = row.querySelector("details.dg-step");
    if (card) {
      const { open, badge } = /** @type {HTMLElement} */ (figure).dataset;
      card.toggleAttribute("open", !open || raw[badge ?? ""]?.value === open);
    }
    return row;
  });
}
