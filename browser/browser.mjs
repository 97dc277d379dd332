// Chromium as the machine has it, quiet and without calls home.
import { chromium } from "playwright-core";

/** @param {string[]} more */
export function start(more = []) {
  return chromium.launch({
    executablePath: process.env.CHROMIUM,
    headless: true,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync", ...more],
  });
}
