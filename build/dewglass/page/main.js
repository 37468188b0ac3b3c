// The page's one script. `dewglass.runtime` is for other people's scripts and for tests.

import { Runtime } from "./runtime.js";

const runtime = new Runtime();
Object.assign(globalThis, { dewglass: { runtime, Runtime } });
