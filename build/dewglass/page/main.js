// @ts-check
// The page's one script. `dewglass.runtime` is for other people's scripts and for tests.

import { defineCalculator } from "./element.js";
import { followLetters } from "./letter.js";
import { Runtime } from "./runtime.js";
import { addPrintButtons } from "./sheet.js";
import { setSystem, system } from "./store.js";

const runtime = new Runtime();
Object.assign(globalThis, { dewglass: { runtime, Runtime } });
document.documentElement.classList.add("dg-scripted");
setSystem(system());

function start() {
  defineCalculator(runtime);
  addPrintButtons();
  followLetters();
}

if (document.readyState === "loading") {
  // The forms must be whole before they are made live.
  addEventListener("DOMContentLoaded", start, { once: true });
} else {
  start();
}
