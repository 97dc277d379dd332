// Chromium as the machine has it, quiet and without calls home.
import { chromium } from "playwright-core";

export function start() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM,
    headless: true,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync"],
  });
}
