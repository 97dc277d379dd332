// A phone is let in by a number, does its work, and goes out again; nothing typed on it is lost.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { networkInterfaces, tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import AxeBuilder from "@axe-core/playwright";
import { start } from "./browser.mjs";

const address = process.env.ADDRESS;
const port = new URL(address).port;
const here = `${address}/f/hazel-bend/`;
const outer = Object.values(networkInterfaces()).flat().find((one) => one.family === "IPv4" && !one.internal)?.address;
// Where a machine has no network, a name stands in for one: it is no loopback name, and is treated as from elsewhere.
const phone = `http://${outer ?? "farm.test"}:${port}/f/hazel-bend/`;
const small = { viewport: { width: 360, height: 740 } };
let browser;

before(async () => { browser = await start(["--host-resolver-rules=MAP farm.test 127.0.0.1"]); });
after(async () => await browser?.close());

async function holds(page) {
  const axe = await new AxeBuilder({ page })
    .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
  assert.deepEqual(axe.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]), []);
  const [inner, most] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(inner <= most, `scrolls sideways: ${inner} > ${most}`);
  const low = await page.evaluate(() => [...document.querySelectorAll("a:not(.skip), button, select, input:not([type=hidden])")]
    .filter((one) => one.checkVisibility()).map((one) => [one.outerHTML, one.getBoundingClientRect().height]).filter(([, high]) => high < 48));
  assert.deepEqual(low, []);
}

/** The number on the owner's page for a person, who is added when they are not there. */
async function number(page, name) {
  await page.goto(`${here}people`);
  const known = page.getByRole("button", { name: `Let in a phone: ${name}` });
  if (await known.count()) {
    await known.click();
  } else {
    await page.fill("#name", name);
    await page.getByRole("button", { name: "Add, and let in a phone" }).click();
  }
  return page.locator(".code").textContent();
}

for (const colorScheme of ["light", "dark"]) {
  test(`the pages of the door, ${colorScheme}: nothing for axe to find, nothing wide, nothing small`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    await number(page, `Ana ${colorScheme}`);
    await holds(page);
    assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll("svg.qr > *")].map((one) => one.tagName)), ["title", "rect", "path"]);
    await page.goto(`${here}people`);
    await holds(page);
    await page.goto(`${here}certificate`);
    await holds(page);
    await page.goto(`${phone}log`);
    await holds(page);
    await page.fill("#code", "1");
    await page.getByRole("button", { name: "Come in" }).click();
    await page.getByRole("link", { name: /lets nobody in/ }).waitFor();
    await holds(page);
    await context.close();
  });
}

test("refused, let in, an entry, shut out with an entry waiting, let in again: it is in the log once", async () => {
  const owner = await (await browser.newContext(small)).newPage();
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const page = await context.newPage();
  assert.equal((await page.goto(`${phone}log`)).status(), 401);
  assert.equal(await page.locator("ol.log").count(), 0);

  await page.goto(`${phone}enter?code=${(await number(owner, "Jo")).replace(" ", "")}`);
  await page.fill("#name", "Jo's old phone");
  await page.getByRole("button", { name: "Come in" }).click();
  await page.waitForURL(phone);
  assert.equal(await page.getByRole("link", { name: "People", exact: true }).count(), 0);
  for (const path of ["", "ponds/willow"]) {
    await page.goto(phone + path);
    assert.doesNotMatch(await page.locator("main").textContent(), /\$|price, less/, `crew are shown no money: /${path}`);
  }
  assert.equal((await page.goto(`${phone}people`)).status(), 403);
  await holds(page);

  await page.goto(`${phone}log/new?pond=willow`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  assert.equal(await page.getByRole("link", { name: "Logger's file" }).count(), 0, "files are the owner's");
  await page.fill("#e-temperature", "57.125");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${phone}log`);
  await page.locator("ol.log > li", { hasText: "57.125 F" }).getByText("by Jo on a phone").waitFor();

  await page.goto(`${phone}log/new?pond=willow`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  const watching = await context.newPage();
  await watching.goto(phone);
  await watching.locator("body[data-fresh=yes]").waitFor();
  await owner.goto(`${here}people`);
  await owner.getByRole("button", { name: "End this phone's access: Jo's old phone" }).click();
  await owner.waitForURL(`${here}people`);
  // A morning that stood open shows the way in.
  await watching.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
  await watching.getByLabel("Number").waitFor();
  await watching.close();
  await page.fill("#e-temperature", "57.375");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator('[data-say="shut"]:not([hidden])').waitFor();
  assert.equal((await page.goto(`${phone}log`)).status(), 401);
  await page.locator("[data-list] li", { hasText: "57.375" }).waitFor();

  await page.fill("#code", await number(owner, "Jo"));
  await page.getByRole("button", { name: "Come in" }).click();
  await page.waitForURL(phone);
  await page.goto(`${phone}log`);
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  await page.reload();
  assert.equal(await page.locator("ol.log .said", { hasText: "57.375 F" }).count(), 1);
  await context.close();
  await owner.context().close();
});

test("without script: let in, and out by one's own hand", async () => {
  const owner = await (await browser.newContext(small)).newPage();
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${phone}enter`);
  await page.fill("#code", await number(owner, "Bo"));
  await page.getByRole("button", { name: "Come in" }).click();
  await page.waitForURL(phone);
  await page.goto(`${phone}enter`);
  await page.getByRole("button", { name: "End this phone's access" }).click();
  assert.equal((await page.goto(`${phone}log`)).status(), 401);
  await context.close();
  await owner.context().close();
});

test("the way to https stands open once nothing waits on the plain address", async () => {
  const folder = mkdtempSync(join(tmpdir(), "warmspell-move-"));
  const server = spawn(process.env.PROGRAM, ["serve", "--store", join(folder, "record.db"), "--address", "127.0.0.1:0", "--https"]);
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  try {
    const base = await new Promise((resolve) => {
      let said = "";
      server.stderr.on("data", (bytes) => {
        said += bytes;
        const found = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
        if (found) resolve(found[0]);
      });
    });
    const page = await context.newPage();
    await page.goto(`${base}/f/hazel-bend/log/new?pond=willow`);
    await page.locator("[data-outbox][data-ready=yes]").waitFor();
    await page.route("**/sync", (route) => route.abort());
    await page.fill("#e-temperature", "58.5");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.locator('[data-say="kept"]:not([hidden])').waitFor();
    await page.goto(`${base}/f/hazel-bend/certificate`);
    const way = page.getByRole("link", { name: /^https:/ });
    await page.locator('[data-say="first"]:not([hidden])').waitFor();
    assert.equal(await way.isVisible(), false);
    await page.unroute("**/sync");
    await page.getByRole("button", { name: "Send now" }).click();
    await way.waitFor();
    assert.equal(await page.locator('[data-say="first"]').isVisible(), false);
    await holds(page);
  } finally {
    await context.close();
    server.kill();
    rmSync(folder, { recursive: true, force: true });
  }
});
