// A farm described from nothing to its first outlook on a small phone, with script and without; nothing typed is lost by a slip, a
// reload or a restart. The test starts and ends its own programs: PROGRAM names the binary.
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import AxeBuilder from "@axe-core/playwright";
import { start } from "./browser.mjs";

const program = process.env.PROGRAM;
const look = process.env.LOOK;
const phone = { viewport: { width: 360, height: 740 }, reducedMotion: "reduce" };
let browser;
const folders = [];
const running = new Set();

before(async () => { browser = await start(); });
after(async () => {
  await browser?.close();
  for (const one of running) one.kill();
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** Starts the program on a record; `stop` ends it and waits until it is gone. */
async function serve(record) {
  const server = spawn(program, ["serve", "--store", record, "--address", "127.0.0.1:0", "--on", "2026-09-21", "--members", "60"]);
  running.add(server);
  const address = await new Promise((resolve, reject) => {
    let said = "";
    server.stderr.on("data", (some) => {
      said += some;
      const found = said.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (found) resolve(found[0]);
    });
    server.on("exit", () => reject(new Error(said)));
  });
  const stop = () => new Promise((resolve) => { running.delete(server); server.on("exit", resolve); server.kill(); });
  return { address, stop };
}

function record() {
  const folder = mkdtempSync(join(tmpdir(), "warmspell-"));
  folders.push(folder);
  return join(folder, "record.db");
}

let pictures = 0;
/** What must hold on every page of the set-up, in both themes. */
async function holds(page, name) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const axe = await new AxeBuilder({ page })
      .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
    assert.deepEqual(axe.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]), [], `${name}, ${colorScheme}`);
    if (look) {
      mkdirSync(look, { recursive: true });
      await page.screenshot({ path: join(look, `${String(++pictures).padStart(2, "0")}-${name}-${colorScheme}.png`), fullPage: true });
    }
  }
  const [inner, outer] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(inner <= outer, `${name} scrolls sideways: ${inner} > ${outer}`);
  const small = await page.evaluate(() => [...document.querySelectorAll("a:not(.skip), button:not(.unseen), summary, select, input:not([type=hidden])")]
    .filter((one) => one.checkVisibility()).map((one) => [one.outerHTML.slice(0, 120), one.getBoundingClientRect().height]).filter(([, high]) => high < 47.9));
  assert.deepEqual(small, [], `${name}: targets are big enough`);
}

const farmUrl = (page) => new URL(page.url()).pathname.match(/^\/f\/[^/]+/)?.[0];
const field = (page, at) => page.locator(`[name="${at}"]`);

/** Answers as a person gives them; `acts` counts each. */
class Hands {
  constructor(page) { this.page = page; this.answers = 0; this.clicks = 0; }
  async type(at, text) { this.answers += 1; await field(this.page, at).fill(text); }
  async choose(at, value) { this.answers += 1; await this.page.locator(`[name="${at}"][value="${value}"]`).check(); }
  async press(name) {
    this.clicks += 1;
    await Promise.all([this.page.waitForLoadState("load"), this.page.getByRole("button", { name, exact: true }).first().click()]);
  }
  at(path) { assert.equal(new URL(this.page.url()).pathname, farmUrl(this.page) + path); }
}

/** From nothing to the outlook, the few questions that are asked at once. */
async function describe(page, address, name, each = async () => {}) {
  const hands = new Hands(page);
  await page.goto(`${address}/setup`);
  await each("place");
  await hands.type("farm.name", name);
  await hands.type("town_name", "starkv");
  await hands.press("Find it");
  await each("towns");
  await hands.press("Starkville, MS, US");
  assert.equal(await field(page, "place.latitude").inputValue(), "33.45 N");
  assert.equal(await field(page, "place.time_zone").inputValue(), "America/Chicago");
  assert.equal(await field(page, "season.last_catch").inputValue(), "2026-10-31");
  await hands.press("Keep and go on");
  hands.at("/setup/ponds/0");
  await each("pond");
  for (const [at, text] of [["name", "Front"], ["paces_long", "92"], ["paces_wide", "34"], ["shallow_depth", "3.5"], ["deep_depth", "6"],
    ["outlet_across", "6"], ["empties_in", "36"], ["stocked.on", "2026-05-27"], ["stocked.density", "16,000"]]) {
    await hands.type(`pond.0.${at}`, text);
  }
  await hands.choose("pond.0.outlet", "pipe");
  await each("pond-typed");
  await hands.press("Keep and go on");
  hands.at("/setup/memory");
  for (const [at, text] of [["pounds", "420"], ["hands", "4"], ["hours", "5"], ["coldest", "61"]]) await hands.type(`told.${at}`, text);
  await hands.choose("told.coldest_of", "water");
  await hands.choose("told.died", "some");
  await each("memory");
  await hands.press("Keep and go on");
  hands.at("/setup/weather");
  await each("weather");
  await hands.press("Take the record that comes with the program");
  hands.at("/setup/work");
  for (const [at, text] of [["crew.owners", "2"], ["crew.helpers_weekday", "0"], ["crew.helpers_weekend", "3"]]) await hands.type(at, text);
  await each("work");
  await hands.press("Keep and go on");
  hands.at("/setup/sale");
  await hands.type("price.0.price", "12");
  await each("sale");
  await hands.press("Keep and go on");
  hands.at("/setup");
  return hands;
}

async function outlook(page) {
  // Without script the page still fetches itself.
  await page.locator("article.pond").first().waitFor({ timeout: 120_000 });
  assert.match(await page.locator("article.pond h2").first().textContent(), /Front/);
  assert.match(await page.locator("main").textContent(), /rests on past years of another place, \d{3} miles away/);
}

test("the ten-minute set-up, on a phone", async () => {
  const kept = record();
  let server = await serve(kept);
  const context = await browser.newContext(phone);
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (message) => { if (message.type() === "error" && !/422/.test(message.text())) wrong.push(message.text()); });
  page.on("pageerror", (error) => wrong.push(String(error)));
  const hands = await describe(page, server.address, "Heron's End", (name) => holds(page, name));
  await holds(page, "review");
  const said = await page.locator("main").textContent();
  for (const part of ["told", "our guess", "shipped", "typed", "from the town", "filled in for you", "one hand brings in 21 lb an hour", "the cold mark begins at 61"]) {
    assert.ok(said.includes(part), `the review says "${part}"`);
  }
  // The file it comes to is the one that the command line takes, and stays the same through a restart.
  const file = async () => (await page.request.get(`${server.address}${farmUrl(page)}/setup/farm.toml`)).text();
  const before = await file();
  assert.match(before, /paces_long = "92"/);
  writeFileSync(join(kept, "..", "farm.toml"), before);
  const plan = spawnSync(program, ["plan", "--farm", join(kept, "..", "farm.toml"), "--on", "2026-09-21", "--members", "60"], { encoding: "utf8" });
  assert.equal(plan.status, 0, plan.stderr);
  assert.match(plan.stdout, /Front/);
  await server.stop();
  server = await serve(kept);
  await page.goto(`${server.address}/farms`);
  await holds(page, "farms");
  await page.getByRole("link", { name: "Heron's End" }).click();
  assert.equal(await file(), before, "the draft survives a restart");
  await hands.press("This is my farm");
  assert.equal(new URL(page.url()).pathname, "/f/heron-s-end/");
  await outlook(page);
  const seconds = 20 * hands.answers + 4 * hands.clicks;
  console.log(`answers ${hands.answers}, presses ${hands.clicks}: about ${(seconds / 60).toFixed(1)} minutes at 20 s an answer and 4 s a press`);
  assert.ok(seconds <= 11 * 60, "about ten minutes");
  await server.stop();
  server = await serve(kept);
  await page.goto(`${server.address}/f/heron-s-end/`);
  await outlook(page);
  await page.goto(`${server.address}/f/heron-s-end/setup`);
  assert.ok((await page.locator("main").textContent()).includes("This is how the farm stands"));
  await holds(page, "review-stands");
  assert.deepEqual(wrong, [], "the console is quiet");
  await context.close();
  await server.stop();
});

test("without script it is the same", async () => {
  const server = await serve(record());
  const context = await browser.newContext({ ...phone, javaScriptEnabled: false });
  const page = await context.newPage();
  const hands = await describe(page, server.address, "Reed Bank", async (name) => {
    if (name !== "pond-typed") return;
    // The button draws what the script would.
    await page.getByRole("button", { name: "Draw it" }).click();
    assert.equal(await page.locator("[data-deep]").textContent(), "6 ft");
    assert.match(await page.locator("figcaption").textContent(), /0\.45 acres/);
    assert.equal(await field(page, "pond.0.paces_long").inputValue(), "92");
  });
  await hands.press("This is my farm");
  assert.equal(new URL(page.url()).pathname, "/f/reed-bank/");
  await outlook(page);
  await context.close();
  await server.stop();
});

test("the drawing follows what one types", async () => {
  const server = await serve(record());
  const page = await (await browser.newContext(phone)).newPage();
  await page.goto(`${server.address}/setup`);
  await field(page, "farm.name").fill("A");
  await page.getByRole("button", { name: "Keep and go on" }).last().click();
  await page.goto(`${server.address}/f/a/setup/ponds/0`);
  const shape = () => page.locator("[data-water]").getAttribute("d");
  const before = await shape();
  await field(page, "pond.0.deep_depth").fill("8");
  const after = await shape();
  assert.notEqual(after, before);
  await field(page, "pond.0.deep_depth").fill("8 ft 0 in");
  assert.equal(await shape(), after, "3 ft 6 in is read as it is by the farm");
  await field(page, "pond.0.paces_long").fill("92");
  await field(page, "pond.0.paces_wide").fill("34");
  assert.match(await page.locator("[data-area]").textContent(), /0\.45 acres/);
  assert.ok(await page.getByRole("button", { name: "Draw it" }).isHidden());
  // What the script drew and what the server draws are one.
  await page.getByRole("button", { name: "Keep and go on" }).last().click();
  await page.goto(`${server.address}/f/a/setup/ponds/0`);
  assert.equal(await shape(), after);
  await page.close();
  await server.stop();
});

test("a wrong answer keeps its typing, says what is wrong and leads to its field", async () => {
  const kept = record();
  let server = await serve(kept);
  const page = await (await browser.newContext(phone)).newPage();
  await page.goto(`${server.address}/setup`);
  await field(page, "farm.name").fill("Slip Farm");
  await field(page, "place.latitude").fill("33.45 N");
  await field(page, "place.longitude").fill("88.82 E");
  await page.getByRole("button", { name: "Keep and go on" }).last().click();
  // East for west: no town is near, and one is near the mirror image.
  assert.match(await page.locator(".oddly").textContent(), /with W this place would be near Starkville, MS, US\. Is a sign slipped/);
  await holds(page, "sign-slipped");
  await field(page, "place.longitude").fill("88.70 W");
  await page.getByRole("button", { name: "Keep and go on" }).last().click();
  // A place that was typed is looked at once.
  assert.match(await page.locator(".oddly").textContent(), /miles from Starkville, MS, US, and the clock is America\/Chicago/);
  await page.getByRole("link", { name: "Yes, go on" }).click();
  for (const [at, typed, said] of [
    ["pond.0.shallow_depth", "three", /“three”/],
    ["pond.0.deep_depth", "600", /“600 ft” cannot be/],
    ["pond.0.paces_long", "2", /“2” cannot be/],
    ["pond.0.empties_in", "soon", /“soon”/],
    ["pond.0.stocked.density", "16 lb", /measures a weight/],
  ]) {
    const was = await field(page, at).inputValue();
    await field(page, at).fill(typed);
    await page.getByRole("button", { name: "Keep and go on" }).last().click();
    assert.ok((await field(page, at).inputValue()).startsWith(typed), `${at} keeps ${typed}`);
    const link = page.locator(".trouble a", { hasText: said });
    await link.first().click();
    const hash = new URL(page.url()).hash;
    assert.equal(await page.locator(hash).getAttribute("name"), at);
    assert.equal(await page.locator(hash).getAttribute("aria-invalid"), "true");
    if (at.endsWith("deep_depth")) await holds(page, "wrong");
    await page.reload();
    if (at.endsWith("empties_in")) { await server.stop(); server = await serve(kept); }
    await page.goto(`${server.address}/f/slip-farm/setup/ponds/0`);
    assert.ok((await field(page, at).inputValue()).startsWith(typed), `${at} is still there after a reload`);
    await field(page, at).fill(was);
  }
  await page.goto(`${server.address}/f/slip-farm/setup`);
  await holds(page, "review-wrong");
  // All at once, each with its way.
  const links = await page.locator(".trouble a").evaluateAll((all) => all.map((one) => one.href));
  assert.ok(links.length >= 4, `${links.length} remarks`);
  for (const link of links) {
    await page.goto(link);
    assert.equal(await page.locator(new URL(link).hash).count(), 1, link);
  }
  assert.equal(await page.getByRole("button", { name: "This is my farm" }).count(), 0);
  await page.close();
  await server.stop();
});

test("a weather file is read before one's eyes", async () => {
  const server = await serve(record());
  const page = await (await browser.newContext(phone)).newPage();
  await page.goto(`${server.address}/setup`);
  await field(page, "farm.name").fill("B");
  await page.getByRole("button", { name: "Keep and go on" }).last().click();
  await page.goto(`${server.address}/f/b/setup/weather`);
  const bring = async (name, text) => {
    await page.locator("input[type=file]").setInputFiles({ name, mimeType: "text/csv", buffer: Buffer.from(text) });
    await page.getByRole("button", { name: "Read this file" }).click();
  };
  await bring("nonsense.csv", "what,is\nthis,file\n");
  assert.match(await page.locator(".trouble").textContent(), /nonsense\.csv/);
  const sample = readFileSync(new URL("../samples/hazel-bend/history.csv", import.meta.url));
  await bring("my past.csv", sample);
  assert.match(await page.locator("#e-weather-history").textContent(), /my-past\.csv: .*1930-01-01 to 2020.*days missing/s);
  await page.locator("summary", { hasText: "What was odd" }).click();
  assert.match(await page.locator(".rest").textContent(), /line/);
  await holds(page, "weather-read");
  await page.close();
  await server.stop();
});

test("the sample farm is put away and back, and a farm file opens", async () => {
  const kept = record();
  let server = await serve(kept);
  const page = await (await browser.newContext(phone)).newPage();
  await page.goto(`${server.address}/setup/open`);
  await holds(page, "open");
  await page.locator("textarea").fill("name = \"Half\n[place]\n");
  await page.getByRole("button", { name: "Open it" }).click();
  assert.match(await page.locator(".trouble").textContent(), /line 1/);
  assert.match(await page.locator("textarea").inputValue(), /name = "Half/);
  const sample = readFileSync(new URL("../samples/rio-manso/farm.toml", import.meta.url), "utf8");
  await page.locator("textarea").fill(sample);
  await page.getByRole("button", { name: "Open it" }).click();
  assert.equal(new URL(page.url()).pathname, "/f/rio-manso/setup");
  assert.match(await page.locator(".trouble").textContent(), /is not here yet/);
  await page.goto(`${server.address}/farms`);
  await page.getByRole("button", { name: "Put away: Hazel Bend" }).click();
  assert.equal(await page.getByRole("link", { name: "Hazel Bend" }).count(), 0);
  await server.stop();
  server = await serve(kept);
  await page.goto(`${server.address}/farms`);
  await holds(page, "away");
  await page.getByRole("button", { name: "Put it back: Hazel Bend" }).click();
  assert.equal(await page.getByRole("link", { name: "Hazel Bend" }).count(), 1);
  await page.close();
  await server.stop();
});
