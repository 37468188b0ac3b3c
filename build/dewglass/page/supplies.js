// Where the runtime's files come from: over http by fetch, in a folder opened by double click from
// one classic script that holds them as base64. Either way they are compressed, whatever the host
// does, and reach the worker as plain bytes.

import { RuntimeFailure } from "./failure.js";

/** The folder this script came from: the other files lie beside it. */
const HERE = new URL(
  ".",
  document.currentScript instanceof HTMLScriptElement
    ? document.currentScript.src
    : document.baseURI,
).href;

/**
 * Fetch all that Python needs, everything at once, and compile its machine code while it arrives.
 *
 * @param {import("./worker/supplies").Files} files
 * @param {() => void} alive called whenever something has arrived
 * @param {AbortSignal} signal
 * @returns {Promise<{worker: string, supplies: import("./worker/supplies").Supplies}>}
 */
export async function fetchSupplies(files, alive, signal) {
  const folder = location.protocol === "file:";
  if (folder) await loadFolder(files.folder);
  /** @param {string} name */
  const open = async (name) => (folder ? fromFolder(name) : overHttp(name, alive, signal));
  /** @param {string} name */
  const bytes = async (name) => (await open(name)).arrayBuffer();

  const [wasm, library, calculators, worker] = await Promise.all([
    compile(open(files.python)),
    bytes(files.library),
    bytes(files.calculators),
    folder ? folderWorker(files.worker) : HERE + files.worker,
  ]);
  return { worker, supplies: { wasm, library, calculators } };
}

/** @param {Promise<Response>} response */
async function compile(response) {
  const body = await response;
  return WebAssembly.compileStreaming(
    new Response(body.body, { headers: { "content-type": "application/wasm" } }),
  );
}

/**
 * @param {string} name
 * @param {() => void} alive
 * @param {AbortSignal} signal
 */
async function overHttp(name, alive, signal) {
  const response = await fetch(HERE + name, { signal }).catch((error) => {
    if (signal.aborted) throw error;
    throw new RuntimeFailure("fetch", `${name} could not be reached`);
  });
  if (!response.ok || !response.body) {
    throw new RuntimeFailure("fetch", `${name} was refused with status ${response.status}`);
  }
  const counted = new TransformStream({
    transform(chunk, controller) {
      alive();
      controller.enqueue(chunk);
    },
  });
  return unpacked(response.body.pipeThrough(counted));
}

/** @param {ReadableStream<any>} stream */
const unpacked = (stream) => new Response(stream.pipeThrough(new DecompressionStream("gzip")));

/** @param {string} name */
function fromFolder(name) {
  const text = globalThis.dewglassFolder?.[name];
  if (text === undefined) {
    throw new RuntimeFailure("folder", `${name} is not in it`);
  }
  const characters = atob(text);
  const bytes = Uint8Array.from({ length: characters.length }, (_, i) => characters.charCodeAt(i));
  return unpacked(new Blob([bytes]).stream());
}

/** @param {string} name */
async function folderWorker(name) {
  const script = await fromFolder(name).blob();
  return URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
}

/** @param {string} name */
function loadFolder(name) {
  if (globalThis.dewglassFolder) return;
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = HERE + name;
    script.onload = () => resolve(undefined);
    script.onerror = () => reject(new RuntimeFailure("folder", `${name} is not in it`));
    document.head.append(script);
  });
}
