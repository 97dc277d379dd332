// "How good have we been": twenty mornings that were kept, with a logger's dawns, come in by the archive and by the log; the page says what
// can be worked out from them here, draws it, and is read without script, on a small phone and in both themes.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import AxeBuilder from "@axe-core/playwright";
import { start } from "./browser.mjs";

const program = process.env.PROGRAM;
const look = process.env.LOOK;
const sample = new URL("../samples/hazel-bend/farm.toml", import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), "warmspell-called-"));
const small = { viewport: { width: 360, height: 740 } };
const DAY_S = 86_400;
// 1 September 2011; dawn at the farm is about half past eleven by UTC.
const FIRST = 15_218;
const dawn = (day) => day * DAY_S + 11.5 * 3600;
const came = (day) => Math.round((24 - 0.3 * (day - FIRST) + 1.2 * Math.sin((day - FIRST) / 2)) * 100) / 100;
const called = (day, lead) => came(day) + 0.25 * lead * Math.sin(1.7 * day + lead);
const half = (lead) => 0.5 + 0.1 * lead;
const MORNINGS = 20;
const LEADS = 10;
const MARKS = [15.5555555, 20];

let browser;
let server;
let farm;

function archive() {
  const rows = [];
  for (let morning = 0; morning < MORNINGS; morning += 1) {
    for (let lead = 1; lead <= LEADS; lead += 1) {
      const on = FIRST + morning;
      const row = (what, level, value) => rows.push({
        farm: "hazel-bend", made_ms: (dawn(on) - 1800) * 1000, pond: "willow", place: "deep", depth_mm: 1829, at_s: dawn(on + lead), what,
        level, value, program: "0.0.9", seed: "1",
      });
      const middle = called(on + lead, lead);
      row("quantile", 0.1, middle - half(lead));
      row("quantile", 0.5, middle);
      row("quantile", 0.9, middle + half(lead));
      for (const mark of MARKS) row("chance", mark, Math.min(0.99, Math.max(0.01, 0.5 + (mark - middle) / 4)));
    }
  }
  const tables = { farm: [{ id: "hazel-bend", name: "Hazel Bend", made_ms: 0, is_sample: 0 }], forecast: rows };
  return JSON.stringify({ schema: "warmspell.archive", version: 1, tables });
}

/** Worked out here by the definitions, from the same numbers. */
function worked(lead) {
  const days = Array.from({ length: MORNINGS }, (_, morning) => FIRST + morning + lead);
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    missed: mean(days.map((day) => Math.abs(called(day, lead) - came(day)))),
    stayed: mean(days.map((day) => Math.abs(came(day - lead) - came(day)))),
    within: days.filter((day) => Math.abs(called(day, lead) - came(day)) <= half(lead)).length,
  };
}

before(async () => {
  const [db, json, csv] = ["record.db", "archive.json", "logger.csv"].map((name) => join(folder, name));
  writeFileSync(json, archive());
  const lines = Array.from({ length: MORNINGS + LEADS }, (_, at) => `${new Date(dawn(FIRST + at) * 1000).toISOString()},${came(FIRST + at)}`);
  writeFileSync(csv, `time,temp_c\n${lines.join("\n")}\n`);
  execFileSync(program, ["import", json, "--store", db]);
  execFileSync(program, ["log", csv, "--pond", "willow", "--take", "--store", db, "--farm", sample]);
  server = spawn(program, ["serve", "--farm", sample, "--store", db, "--address", "127.0.0.1:0", "--members", "16",
    // After the last reading, so that the morning kept by the program itself meets none.
    "--on", "2011-10-12"]);
  const address = await new Promise((found) => {
    let text = "";
    server.stderr.on("data", (data) => {
      text += data;
      const at = text.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (at) found(at[0]);
    });
  });
  farm = `${address}/f/hazel-bend/`;
  browser = await start();
});
after(async () => {
  await browser?.close();
  server?.kill();
  rmSync(folder, { recursive: true, force: true });
});

async function bare(options, look) {
  const context = await browser.newContext({ ...small, ...options });
  await look(await context.newPage());
  await context.close();
}

test("the page says what can be worked out from the same numbers", async () => {
  await bare({ javaScriptEnabled: false }, async (page) => {
    await page.goto(`${farm}called-and-came?pond=willow`);
    const f = (kelvin) => `${(kelvin * 1.8).toFixed(1)} °F`;
    const bareOf = (kelvin) => `${(kelvin * 1.8).toFixed(1)}°`;
    const one = worked(1);
    assert.equal(await page.locator("h1").innerText(), `The next dawn was called to within ${f(one.missed)} on average`);
    const said = await page.locator(".why").innerText();
    assert.ok(said.includes(`it would have missed by ${f(one.stayed)}`), said);
    await page.locator("figure.leads summary").click();
    for (let lead = 1; lead <= LEADS; lead += 1) {
      const cells = await page.locator("figure.leads tbody tr").nth(lead - 1).locator("th, td").allInnerTexts();
      const { missed, stayed, within } = worked(lead);
      assert.deepEqual([cells[0], cells[1], cells[2], cells[4]], [`${lead}`, bareOf(missed), bareOf(stayed), `${within} of 20`]);
    }
  });
});

test("the same by command", async () => {
  const db = join(folder, "record.db");
  const json = JSON.parse(execFileSync(program, ["scores", "--store", db, "--farm", sample, "--pond", "Willow", "--json"], { encoding: "utf8" }));
  assert.equal(json.schema, "warmspell.scores");
  assert.ok(Math.abs(json.leads[2].missed_k - worked(3).missed) < 1e-6, JSON.stringify(json.leads[2]));
  assert.ok(Math.abs(json.leads[2].beside.stayed_missed_k - worked(3).stayed) < 1e-6);
  const text = execFileSync(program, ["scores", "--store", db, "--farm", sample, "--pond", "Willow"], { encoding: "utf8" });
  await bare({}, async (page) => {
    await page.goto(`${farm}called-and-came?pond=willow`);
    assert.ok(text.includes(await page.locator("h1").innerText()), text);
    for (const sentence of await page.locator("#h-chances ~ p").allInnerTexts()) assert.ok(text.includes(sentence), sentence);
  });
});

test("measured and called never look alike, and every shape is drawn", async () => {
  await bare({}, async (page) => {
    await page.goto(`${farm}called-and-came?pond=willow`);
    assert.equal(await page.locator("figure.latest circle.reading").count(), 10);
    assert.equal(await page.locator("figure.latest rect.said-band").count(), 10);
    assert.equal(await page.locator("figure.leads rect.at").count(), 20);
    const lost = await page.evaluate(() => [...document.querySelectorAll("svg path, svg rect, svg circle, svg line, svg text")]
      .filter((shape) => !["svg", "g"].includes(shape.parentElement.localName)).length);
    assert.equal(lost, 0);
    for (const figure of ["leads", "latest"]) {
      assert.ok((await page.locator(`figure.${figure} svg desc`).textContent()).length > 20, figure);
      assert.equal(await page.locator(`figure.${figure} table`).count(), 1, figure);
    }
  });
});

test("one gets there from the morning and from a pond, and from there to a pond alone", async () => {
  await bare({}, async (page) => {
    await page.goto(farm);
    await page.locator("article.pond").first().waitFor({ timeout: 120_000 });
    await page.getByRole("link", { name: "How good have these forecasts been?" }).click();
    await page.waitForURL(`${farm}called-and-came`);
    await page.getByRole("link", { name: "Heron" }).click();
    assert.match(await page.locator("h1").innerText(), /nothing can be told yet$/);
    await page.goto(`${farm}ponds/willow`);
    await page.getByRole("link", { name: "How good have these forecasts been?" }).click();
    assert.equal(await page.locator('nav.choices a[aria-current]').last().innerText(), "Willow");
    for (const path of ["called-and-came?pond=loch", "called-and-came?season=1999"]) assert.equal((await page.goto(farm + path)).status(), 404, path);
  });
});

test("axe finds nothing, in both themes, and nothing is wider than the phone", async () => {
  for (const colorScheme of ["light", "dark"]) {
    for (const path of ["called-and-came?pond=willow", "called-and-came?pond=heron"]) {
      await bare({ colorScheme }, async (page) => {
        await page.goto(farm + path);
        for (const summary of await page.locator("summary").all()) await summary.click();
        const { violations } = await new AxeBuilder({ page })
          .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
        assert.deepEqual(violations.map(({ id, nodes }) => [id, nodes[0].html]), [], `${path} ${colorScheme}`);
        if (look) await page.screenshot({ path: join(look, `${path.replace(/\W+/g, "-")}-${colorScheme}.png`), fullPage: true });
        const [wide, shown] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
        assert.ok(wide <= shown, `${path}: ${wide}`);
        const touched = await page.evaluate(() => [...document.querySelectorAll("main a, main summary")]
          .filter((one) => one.getBoundingClientRect().height < 48).map((one) => one.outerHTML));
        assert.deepEqual(touched, [], path);
      });
    }
  }
});
