// @ts-check
/**
 * Text fields that name one of an answer's rows (the columns of a log): a choice of those rows once
 * an answer lists them, and the plain text field again when none does.
 */

/**
 * @typedef {{rows: string, used: string, none: boolean}} Among
 * @typedef {Record<string, {value: any}>} Row
 */

/**
 * Put a choice in the place of a text field, or renew it. Returns the choice.
 * @param {HTMLInputElement | HTMLSelectElement} entry @param {Among} among
 * @param {Row[]} rows @param {string} exact what was chosen, empty where the reader left it
 */
export function offerRows(entry, among, rows, exact) {
  const select = entry instanceof HTMLSelectElement ? entry : replaced(entry);
  const taken = rows.filter((row) => row.used.value === among.used).map((row) => row.name.value);
  const found = taken.length ? `found: ${taken.join(" and ")}` : "none found";
  const options = [new Option(exact ? "as found by itself" : found, "")];
  for (const { number, name, first } of rows) {
    const example = first.value ? ` (first: ${first.value})` : "";
    options.push(new Option(`${name.value}${example}`, `column ${number.value}`));
  }
  if (among.none) options.push(new Option("none", "none"));
  select.replaceChildren(...options);
  const named = rows.find((row) => row.name.value.toLowerCase() === exact.toLowerCase());
  const value = named ? `column ${named.number.value}` : exact;
  if (!options.some((option) => option.value === value)) select.append(new Option(exact, value));
  select.value = value;
  return select;
}

/** @param {HTMLInputElement} entry */
function replaced(entry) {
  const select = document.createElement("select");
  select.id = entry.id;
  select.name = entry.name;
  const described = entry.getAttribute("aria-describedby")?.split(" ") ?? [];
  select.setAttribute("aria-describedby", described.filter((id) => id.endsWith("--problem")).join());
  entry.closest(".dg-field")?.setAttribute("data-chosen", ""); // and no longer typed
  entry.replaceWith(select);
  return select;
}
