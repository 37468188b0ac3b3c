// What the page hands to the worker at the start, and what both find around them.
export interface Supplies {
  wasm: WebAssembly.Module;
  library: ArrayBuffer;
  calculators: ArrayBuffer;
}

/** Names of the packed files, written into the page's script by the packing. */
export interface Files {
  worker: string;
  folder: string;
  python: string;
  library: string;
  calculators: string;
}

declare global {
  const DEWGLASS_FILES: Files;
  const loadPyodide: typeof import("pyodide").loadPyodide;
  /** base64 by file name; only in a folder opened by double click */
  var dewglassFolder: Record<string, string> | undefined;
}
