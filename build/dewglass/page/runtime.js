// The page's way to Python: starts the worker when it is first needed, asks it one thing at a time,
// and says in a sentence what went wrong when it cannot.

import { RuntimeFailure } from "./failure.js";
import { fetchSupplies } from "./supplies.js";

export { RuntimeFailure };

/**
 * @typedef {Record<string, any>} Answer the document of calculators.ask.answer
 * @typedef {{id: number, owner: unknown, method: string, params: unknown,
 *   resolve: (result: any) => void, reject: (failure: Error) => void,
 *   progress?: (state: any) => void}} Request
 */

/** Seconds without any sign of life after which the reader is told. */
const PATIENCE = 90;

/**
 * The constructor of real workers. A theme's search may put one that answers in a frame in its
 * place where the page is a file; then a fresh frame still has the real one.
 */
const NativeWorker = isNative(globalThis.Worker) ? globalThis.Worker : undefined;

/** @param {Function | undefined} value */
function isNative(value) {
  return typeof value === "function" && Function.prototype.toString.call(value).includes("[native");
}

function nativeWorker() {
  if (NativeWorker) return NativeWorker;
  const frame = document.createElement("iframe");
  frame.hidden = true;
  document.body.append(frame); // and it stays: its workers end with it
  return /** @type {typeof Worker} */ (/** @type {any} */ (frame.contentWindow).Worker);
}

/**
 * Python in a worker.
 *
 * Fires the event `state` whenever `state` changes; with `failed`, `failure` says why. After a
 * failure the next question starts it again.
 */
export class Runtime extends EventTarget {
  /** @type {"idle" | "starting" | "ready" | "failed"} */
  state = "idle";
  /** @type {RuntimeFailure | undefined} */
  failure;

  /** @type {Promise<void> | undefined} */
  #started;
  /** @type {AbortController} */
  #run = new AbortController();
  /** @type {Promise<Awaited<ReturnType<typeof fetchSupplies>>> | undefined} */
  #supplies;
  /** @type {typeof Worker | undefined} */
  #Worker;
  /** @type {Worker | undefined} */
  #worker;
  /** @type {Request[]} */
  #waiting = [];
  /** @type {Request | undefined} */
  #current;
  #lastId = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #patience;

  /** @param {{patience?: number}} [options] patience in seconds, for tests */
  constructor({ patience = PATIENCE } = {}) {
    super();
    this.#patience = patience;
  }

  /**
   * Start Python, once: further calls wait for the same start. Rejects with a RuntimeFailure.
   *
   * @returns {Promise<void>}
   */
  start() {
    this.#started ??= this.#start();
    return this.#started;
  }

  /**
   * Ask a calculator. A newer question of the same `owner` (the element on the page) takes the
   * place of an older one, which then rejects as `superseded`: typing stays quick.
   *
   * @param {unknown} owner
   * @param {string} name such as `dew-point`
   * @param {Record<string, string>} inputs as typed
   * @param {boolean} [quick] a first look, without bands
   * @param {{files?: Record<string, Blob>, progress?: (share: number) => void}} [more] inputs that
   *   are files, read in the worker only; `progress` hears the share done of a long answer, 0 to 1
   * @returns {Promise<Answer>}
   */
  ask(owner, name, inputs, quick = false, { files = {}, progress } = {}) {
    this.#drop(owner, "superseded");
    return this.#request(owner, "ask", { name, inputs, quick, files }, progress);
  }

  /**
   * Call a function of the calculators, such as `calculators.keeping.readings:read`.
   *
   * @param {unknown} owner
   * @param {string} path
   * @param {Record<string, unknown>} args
   * @param {(state: any) => void} [progress]
   * @returns {Promise<any>}
   */
  call(owner, path, args, progress) {
    return this.#request(owner, "call", { path, arguments: args }, progress);
  }

  /**
   * Give up what `owner` is waiting for. Python cannot be interrupted, so if it is at work on that,
   * its worker ends and a new one starts; what others are waiting for is asked again there.
   *
   * @param {unknown} owner
   */
  cancel(owner) {
    const busy = this.#current !== undefined && this.#current.owner === owner;
    this.#drop(owner, "cancelled");
    if (!busy) return;
    this.#stop();
    this.#current = undefined;
    this.#setState("idle");
    this.start().catch(() => {});
  }

  /**
   * @param {unknown} owner
   * @param {string} method
   * @param {unknown} params
   * @param {(state: any) => void} [progress]
   */
  #request(owner, method, params, progress) {
    const answered = new Promise((resolve, reject) => {
      this.#waiting.push({ id: ++this.#lastId, owner, method, params, resolve, reject, progress });
    });
    this.start().then(
      () => this.#next(),
      () => {}, // #fail has told everyone
    );
    return answered;
  }

  /**
   * @param {unknown} owner
   * @param {"superseded" | "cancelled"} kind
   */
  #drop(owner, kind) {
    const dropped = this.#waiting.filter((request) => request.owner === owner);
    this.#waiting = this.#waiting.filter((request) => request.owner !== owner);
    // The one at work, if it is this owner's, runs to its end; its answer then finds nobody waiting.
    if (this.#current && this.#current.owner === owner) dropped.push(this.#current);
    for (const request of dropped) request.reject(new RuntimeFailure(kind));
  }

  async #start() {
    this.#setState("starting");
    const { signal } = (this.#run = new AbortController());
    try {
      this.#listen();
      await Promise.race([this.#boot(signal), ended(signal)]);
      clearTimeout(this.#timer);
      this.#setState("ready");
      this.#next();
    } catch (error) {
      if (error !== signal.reason) this.#fail(error);
      throw error;
    }
  }

  /** @param {AbortSignal} signal */
  async #boot(signal) {
    const lacking = missing();
    if (lacking) throw new RuntimeFailure("unsupported", lacking);
    this.#supplies ??= fetchSupplies(DEWGLASS_FILES, () => this.#listen(), signal);
    const { worker: address, supplies } = await this.#supplies;
    signal.throwIfAborted();
    this.#Worker ??= nativeWorker();
    const worker = (this.#worker = new this.#Worker(address));
    await new Promise((resolve, reject) => {
      worker.onmessage = ({ data }) =>
        data.error === undefined
          ? resolve(undefined)
          : reject(new RuntimeFailure("died", data.error));
      worker.onerror = ({ message }) => reject(new RuntimeFailure("died", message || "no worker"));
      worker.postMessage({ id: 0, method: "start", params: supplies });
    });
    worker.onmessage = ({ data }) => this.#hear(data);
    worker.onerror = ({ message }) => this.#fail(new RuntimeFailure("died", message));
  }

  #next() {
    if (this.state !== "ready" || this.#current || !this.#worker) return;
    this.#current = this.#waiting.shift();
    if (!this.#current) return;
    this.#listen();
    const { id, method, params } = this.#current;
    this.#worker.postMessage({ id, method, params });
  }

  /** @param {{id: number, result?: any, error?: string, kind?: string, progress?: any}} message */
  #hear(message) {
    const request = this.#current;
    if (!request || message.id !== request.id) return;
    if ("progress" in message) {
      this.#listen();
      request.progress?.(message.progress);
      return;
    }
    if (message.kind === "died") {
      this.#fail(new RuntimeFailure("died", message.error));
      return;
    }
    clearTimeout(this.#timer);
    this.#current = undefined;
    if (message.error === undefined) request.resolve(message.result);
    else request.reject(new RuntimeFailure("python", message.error));
    this.#next();
  }

  /** Expect a sign of life from now on. */
  #listen() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(
      () => this.#fail(new RuntimeFailure("silent", String(this.#patience))),
      this.#patience * 1000,
    );
  }

  /** @param {unknown} error */
  #fail(error) {
    const failure =
      error instanceof RuntimeFailure ? error : new RuntimeFailure("died", String(error));
    this.#stop(failure);
    this.failure = failure;
    this.#supplies = undefined;
    const lost = [...(this.#current ? [this.#current] : []), ...this.#waiting];
    this.#current = undefined;
    this.#waiting = [];
    this.#setState("failed");
    for (const request of lost) request.reject(failure);
  }

  /** @param {Error} [reason] */
  #stop(reason = new RuntimeFailure("cancelled")) {
    clearTimeout(this.#timer);
    this.#worker?.terminate();
    this.#worker = undefined;
    this.#started = undefined;
    this.#run.abort(reason);
  }

  /** @param {Runtime["state"]} state */
  #setState(state) {
    this.state = state;
    if (state !== "failed") this.failure = undefined;
    this.dispatchEvent(new Event("state"));
  }
}

/** What live answers need and this browser lacks, in the reader's words. */
function missing() {
  if (typeof WebAssembly !== "object") return "WebAssembly";
  if (typeof DecompressionStream !== "function") return "way to unpack compressed files";
  if (typeof Worker !== "function") return "background workers";
  return "";
}

/**
 * @param {AbortSignal} signal
 * @returns {Promise<never>}
 */
function ended(signal) {
  return new Promise((_, reject) => {
    signal.addEventListener("abort", () => reject(signal.reason));
  });
}
