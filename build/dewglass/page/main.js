// @ts-check
// The page's one script. `dewglass.runtime` is for other people's scripts and for tests.

import { defineCalculator } from "./element.js";
import { Runtime } from "./runtime.js";
import { setSystem, system } from "./store.js";

const runtime = new Runtime();
Object.assign(globalThis, { dewglass: { runtime, Runtime } });
document.documentElement.classList.add("dg-scripted");
setSystem(system());
if (document.readyState === "loading") {
  // The forms must be whole before they are made live.
  addEventListener("DOMContentLoaded", () => defineCalculator(runtime), { once: true });
} else {
  defineCalculator(runtime);
}
