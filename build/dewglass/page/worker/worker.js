// Python's side of the page: one classic worker that holds Pyodide (its two scripts come before
// this one in the same file) and answers one message at a time.
//
// In:  {id, method: "start", params: Supplies}
//      {id, method: "ask",   params: {name, inputs, quick, files}}  inputs: an object of texts,
//                                                          files: an object of Files (or Blobs)
//      {id, method: "call",  params: {path, arguments}}    arguments: an object
// Out: {id, result}, {id, error, kind}, and before a result any number of {id, progress}

import { info } from "pyodide/pyodide-lock.json";

/**
 * @typedef {{ask: (name: string, inputs: string, quick: boolean, files: [string, Uint8Array][],
 *     progress: (share: number) => void) => string,
 *   call: (path: string, args: string, progress: (state: string) => void) => string}} Bridge
 */

/** Pyodide asks for its files by address; these are answered from memory and reach no network. */
const MEMORY = "memory:/";

/** Where Python finds the calculators: it imports from archives. */
const ARCHIVE = "/calculators.zip";

/** @type {Bridge | undefined} */
let python;

/** @param {import("./supplies").Supplies} supplies */
async function start({ wasm, library, calculators }) {
  self.fetch = async (request) => {
    const name = String(request).replace(MEMORY, "");
    if (name === "pyodide.asm.wasm") return new Response(); // its place is taken just below
    if (name === "python_stdlib.zip") return new Response(library);
    return new Response(null, { status: 404 });
  };
  WebAssembly.instantiateStreaming = async (_response, imports) => ({
    module: wasm,
    instance: await WebAssembly.instantiate(wasm, imports),
  });
  const pyodide = await loadPyodide({
    indexURL: MEMORY,
    lockFileContents: JSON.stringify({ info, packages: {} }), // none of Pyodide's packages
    env: { PYTHONPATH: ARCHIVE, PYTHONNOUSERSITE: "1" },
    fsInit: async (files) => files.writeFile(ARCHIVE, new Uint8Array(calculators)),
    enableRunUntilComplete: false,
  });
  python = pyodide.pyimport("dewglass_bridge");
}

/**
 * @param {Bridge} python @param {number} id
 * @param {{name: string, inputs: Record<string, string>, quick: boolean,
 *   files: Record<string, Blob>}} params
 */
async function ask(python, id, { name, inputs, quick, files }) {
  /** @type {[string, Uint8Array][]} */
  const data = [];
  for (const [field, file] of Object.entries(files)) {
    try {
      data.push([field, new Uint8Array(await file.arrayBuffer())]);
    } catch {
      const sentence = "The file was moved or changed and can no longer be read. Choose it again.";
      return JSON.stringify({ result: { calculator: name, problems: [{ field, sentence }] } });
    }
  }
  return python.ask(name, JSON.stringify(inputs), quick, data, (share) =>
    self.postMessage({ id, progress: share }),
  );
}

self.onmessage = async ({ data: { id, method, params } }) => {
  try {
    if (method === "start") {
      await start(params);
      self.postMessage({ id, result: null });
      return;
    }
    if (!python) throw new Error("Python has not been started.");
    const text =
      method === "ask"
        ? await ask(python, id, params)
        : python.call(params.path, JSON.stringify(params.arguments), (state) =>
            self.postMessage({ id, progress: JSON.parse(state) }),
          );
    self.postMessage({ id, ...JSON.parse(text) });
  } catch (error) {
    // Python's own errors come back as text above: what arrives here has broken the interpreter.
    self.postMessage({ id, error: String(error), kind: "died" });
  }
};
