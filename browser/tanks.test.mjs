// Postlarvae come, are counted from samples, shared out over the tanks and fed; a tank whose ammonia is too high is told first.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { axed, served, start, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let server;
let farm;

before(async () => {
  server = await served("tanks");
  farm = server.farm;
  browser = await start();
});
after(async () => {
  await browser?.close();
  server?.end();
});

async function entered(page, kind, fields, when) {
  await page.goto(`${farm}log/new?kind=${kind}`);
  for (const [name, value] of Object.entries(fields)) {
    if (name === "tank") await page.locator(`input[name=tank][value=${value}]`).check();
    else await page.locator(`[name=${name}]`).fill(value);
  }
  await page.locator("details summary").click();
  await page.locator("#e-when").fill(when);
  await page.locator("button.main").click();
}

test("a delivery is counted, shared out and fed, and what is short is told", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}tanks`);
  assert.equal(await page.locator("h1").innerText(), "Nothing is in the tanks");
  // Counts that cannot be read are shown again as they were typed.
  await entered(page, "delivery", { claimed: "65,000", counts: "412, many, 431" }, "2011-09-01T09:00");
  assert.match(await page.locator("[role=alert]").innerText(), /Nothing is kept yet/);
  assert.equal(await page.locator("[name=counts]").inputValue(), "412, many, 431");
  await entered(page, "delivery", { claimed: "65,000", counts: "412, 398, 431, 405, 419", sample_weight: "10", all_weight: "1450", dead: "400" }, "2011-09-01T09:00");
  await page.waitForURL(`${farm}log`);
  await page.goto(`${farm}tanks`);
  const text = await page.locator("main").innerText();
  assert.match(text, /Your own count is 59,885, more or less by 2,29\d/);
  assert.match(text, /5,515 fewer came alive than were paid for/);
  assert.match(text, /Day 27 in the tanks/);
  // Five like tanks share what is alive: 59,485.
  const given = await page.locator("section[aria-labelledby=h-shared] dd").allInnerTexts();
  assert.equal(given.map((one) => Number(one.replace(",", ""))).reduce((sum, one) => sum + one, 0), 59_485);
  assert.match(text, /Feed today/);
  await entered(page, "tank", { tank: "North", ammonia: "1.6", ph: "8.4", temperature: "82" }, "2011-09-28T06:00");
  await page.goto(`${farm}tanks`);
  assert.equal(await page.locator("h1").innerText(), "Bad water: North");
  assert.match(await page.locator("section[aria-labelledby=h-north]").innerText(), /no feed today, change water/);
  if (look) await page.screenshot({ path: join(look, "tanks.png"), fullPage: true });
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`the tanks, ${colorScheme}: nothing for axe to find, nothing wide`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    for (const path of ["tanks", "log/new?kind=delivery", "log/new?kind=tank"]) {
      await page.goto(farm + path);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      assert.deepEqual(await axed(page), []);
      assert.ok(await tooWide(page) <= 0, "scrolls sideways");
    }
    await context.close();
  });
}
