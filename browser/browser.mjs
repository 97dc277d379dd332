// Chromium as the machine has it, quiet and without calls home.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before } from "node:test";
import AxeBuilder from "@axe-core/playwright";
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

/** The program on a record of its own: the address of the sample farm, and how to end it. What a suite enters moves no other's plan. */
export async function served(name, more = []) {
  const folder = mkdtempSync(join(tmpdir(), `warmspell-${name}-`));
  const server = spawn(process.env.PROGRAM, ["serve", "--store", join(folder, "record.db"), "--address", "127.0.0.1:0", ...more],
    { stdio: ["ignore", "ignore", "pipe"] });
  const address = await new Promise((told, failed) => {
    let said = "";
    server.stderr.on("data", (text) => {
      said += text;
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
      if (found) told(found[0]);
    });
    server.on("exit", () => failed(new Error(said)));
  });
  const end = () => {
    server.removeAllListeners("exit");
    server.kill();
    rmSync(folder, { recursive: true, force: true });
  };
  return { farm: `${address}/f/hazel-bend/`, end };
}

/** A suite on a record and a browser of its own: `begun` is given them before the first test, and both end after the last. */
export function suite(name, begun, more = []) {
  let own;
  before(async () => {
    own = { ...await served(name, more), browser: await start() };
    await begun(own);
  });
  after(async () => {
    await own?.browser.close();
    own?.end();
  });
}

/** What axe finds on a page, with the stricter rules for contrast and for what is touched. */
export async function axed(page) {
  const axe = await new AxeBuilder({ page })
    .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
  return axe.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]);
}

/** By how much a page is wider than its window. */
export const tooWide = (page) => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);

/** How many entries wait on a phone. */
export const waiting = (page) => page.evaluate(async () => {
  const asked = indexedDB.open("outbox:hazel-bend", 1);
  const db = await new Promise((resolve) => { asked.onsuccess = () => resolve(asked.result); });
  const all = await new Promise((resolve) => {
    const read = db.transaction("entries").objectStore("entries").getAll();
    read.onsuccess = () => resolve(read.result);
  });
  db.close();
  return all.filter((one) => one.state === "waiting").length;
});

/** Waits until a phone has sent all it kept. */
export async function emptied(page) {
  for (let turn = 0; turn < 100; turn += 1) {
    if (await waiting(page) === 0) return;
    await page.evaluate(() => dispatchEvent(new Event("online")));
    await page.waitForTimeout(200);
  }
  assert.fail("entries still wait");
}
