// @ts-check
/**
 * A page address that carries a calculator's inputs: `page.html#dew-point?air_temperature=79+°F`.
 * They stand behind the #, so a browser never sends them to the host.
 */

/** @returns {{id: string, inputs: Record<string, string>} | null} */
export function inputsInAddress() {
  const [id, query] = location.hash.slice(1).split("?");
  if (!query) return null;
  return { id: decodeURIComponent(id), inputs: Object.fromEntries(new URLSearchParams(query)) };
}

/** @param {string} id @param {Record<string, string>} inputs */
export function addressWith(id, inputs) {
  return `${location.href.split("#")[0]}#${id}?${new URLSearchParams(inputs)}`;
}

/** @param {string} id @param {Record<string, string>} inputs */
export function putInAddress(id, inputs) {
  history.replaceState(history.state, "", addressWith(id, inputs));
}
