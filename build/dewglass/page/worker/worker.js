// Python's side of the page: one classic worker that holds Pyodide (its two scripts come before
// this one in the same file) and answers one message at a time.
//
// In:  {id, method: "start", params: Supplies}
//      {id, method: "ask",   params: {name, inputs}}       inputs: an object of texts
//      {id, method: "call",  params: {path, arguments}}    arguments: an object
// Out: {id, result}, {id, error, kind}, and before a result any number of {id, progress}

import bridge from "./bridge.py";

/**
 * @typedef {{ask: (name: string, inputs: string) => string,
 *   call: (path: string, args: string, progress: (state: string) => void) => string}} Bridge
 */

/** Pyodide asks for its files by address; these are answered from memory and reach no network. */
const MEMORY = "memory:/";

/** @type {Bridge | undefined} */
let python;

/** @param {import("./supplies").Supplies} supplies */
async function start({ wasm, library, wheels, lock }) {
  self.fetch = async (request) => {
    const name = String(request).replace(MEMORY, "");
    if (name === "pyodide.asm.wasm") return new Response();
    const body = name === "python_stdlib.zip" ? library : wheels[name];
    return body ? new Response(body) : new Response(null, { status: 404 });
  };
  WebAssembly.instantiateStreaming = async (_response, imports) => ({
    module: wasm,
    instance: await WebAssembly.instantiate(wasm, imports),
  });
  const pyodide = await loadPyodide({
    indexURL: MEMORY,
    packageBaseUrl: MEMORY,
    lockFileContents: lock,
    packages: Object.keys(lock.packages),
    enableRunUntilComplete: false,
  });
  pyodide.runPython(bridge);
  python = /** @type {Bridge} */ (
    /** @type {unknown} */ ({ ask: pyodide.globals.get("ask"), call: pyodide.globals.get("call") })
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
        ? python.ask(params.name, JSON.stringify(params.inputs))
        : python.call(params.path, JSON.stringify(params.arguments), (state) =>
            self.postMessage({ id, progress: JSON.parse(state) }),
          );
    self.postMessage({ id, ...JSON.parse(text) });
  } catch (error) {
    // Python's own errors come back as text above: what arrives here has broken the interpreter.
    self.postMessage({ id, error: String(error), kind: "died" });
  }
};
