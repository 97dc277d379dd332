// Postlarvae come, are counted from samples, shared out over the tanks and fed; a tank whose ammonia is too high is told first.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("tanks", (own) => { ({ browser, farm } = own); });

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
  assert.match(text, /Oxygen used\s+about [\d,]+ to [\d,]+ g a day by animals and filter/);
  assert.match(text, /kWh a day, \$[\d.]+ a day to hold/);
  await entered(page, "tank", { tank: "North", ammonia: "1.6", ph: "8.4", temperature: "82" }, "2011-09-28T06:00");
  await page.goto(`${farm}tanks`);
  assert.equal(await page.locator("h1").innerText(), "Bad water: North");
  assert.match(await page.locator("section[aria-labelledby=h-north]").innerText(), /no feed today, change water/);
  if (look) await page.screenshot({ path: join(look, "tanks.png"), fullPage: true });
  await context.close();
});

async function filled(page, fields, when) {
  await page.locator("form.entry details summary").click();
  for (const [name, value] of Object.entries(fields)) {
    const radio = page.locator(`input[type=radio][name=${name}][value="${value}"]`);
    if (await radio.count()) await radio.check();
    else await page.locator(`[name=${name}]`).fill(value);
  }
  await page.locator("#e-when").fill(when);
  await page.locator("button.main").click();
}

test("a tank is graded and counted out into a pond, which shows where its animals came from", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}tanks`);
  await page.getByRole("link", { name: "Grade, count out" }).click();
  // Both places at once, and samples without the weight of all: each is named at its field, and nothing is lost.
  await filled(page, { tank: "South", grade: "upper", counts: "30, 33, 31", sample_weight: "20", pond: "heron", to_tank: "North" }, "2011-09-27T07:00");
  const wrong = await page.locator("[role=alert]").first().locator("li").allInnerTexts();
  assert.equal(wrong.length, 2, wrong.join("; "));
  assert.equal(await page.locator("[name=counts]").inputValue(), "30, 33, 31");
  if (look) await page.screenshot({ path: join(look, "counted-out-wrong.png"), fullPage: true });
  await page.locator("input[name=to_tank][value='']").check();
  await page.locator("[name=all_weight]").fill("2000");
  await page.locator("button.main").click();
  // The pond has long been stocked: asked about, and kept when it is pressed again.
  assert.match(await page.locator("[role=alert]").innerText(), /Heron still holds what was stocked/);
  await page.locator("button.main").click();
  await page.waitForURL(`${farm}tanks`);
  const counted = await page.locator("section[aria-labelledby=h-counted]").innerText();
  assert.match(counted, /South into Heron/);
  assert.match(counted, /3,133, more or less by 379; 0\.64 g each; upper grade/);
  assert.match(await page.locator("section[aria-labelledby=h-south]").innerText(), /3,133 were counted out/);
  if (look) await page.screenshot({ path: join(look, "tanks-counted.png"), fullPage: true });
  await page.goto(`${farm}seasons`);
  const lot = page.locator("ul.lots li", { hasText: "From South" });
  assert.match(await lot.innerText(), /3,133, more or less by 379, of 0\.64 g/);
  assert.match(await lot.innerText(), /From South on 27 Sep: 3,133 of 0\.64 g, upper grade/);
  assert.match(await lot.innerText(), /Delivery of 1 Sep, no papers noted/);
  if (look) await page.screenshot({ path: join(look, "seasons-from.png"), fullPage: true });
  await context.close();
});

test("a filter is not called ripe before two clear readings days apart", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  const ripe = async () => {
    await page.goto(`${farm}tanks`);
    return page.locator("section[aria-labelledby=h-door] dl").innerText();
  };
  assert.match(await ripe(), /not called ripe/);
  await entered(page, "tank", { tank: "Door", ammonia: "0.3", nitrite: "0.2" }, "2011-09-20T06:00");
  await entered(page, "tank", { tank: "Door", ammonia: "0.3", nitrite: "0.2" }, "2011-09-21T06:00");
  assert.match(await ripe(), /not yet: clear on Tue 20 Sep/);
  await entered(page, "tank", { tank: "Door", ammonia: "0.4", nitrite: "0.3" }, "2011-09-23T06:00");
  assert.match(await ripe(), /ripe: clear on Tue 20 Sep and Fri 23 Sep/);
  await entered(page, "tank", { tank: "Door", ammonia: "0.9", nitrite: "1.6" }, "2011-09-27T06:00");
  assert.match(await ripe(), /no: not clear on Tue 27 Sep.*nitrite/s);
  await context.close();
});

test("an empty pond says whether they can go in, by its own forecast and readings", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}tanks`);
  assert.equal(await page.getByRole("link", { name: "Quarry: Can they go in?" }).count(), 0, "it holds animals");
  await page.goto(`${farm}log/new?kind=catch&pond=quarry`);
  await filled(page, { caught: "400", empty: "yes" }, "2011-09-27T09:00");
  const asks = async (query = "") => {
    await page.goto(`${farm}ponds/quarry/stocking${query}`);
    return page.locator("h1").innerText();
  };
  await page.goto(`${farm}tanks`);
  await page.getByRole("link", { name: "Quarry: Can they go in?" }).click();
  assert.equal(await page.locator("h1").innerText(), "Quarry: read first, then say");
  assert.match(await page.locator("main").innerText(), /Not known well enough: pH, total ammonia, oxygen, wild fish/);
  assert.equal(await page.locator("tbody tr").count(), 5);
  await page.goto(`${farm}log/new?kind=reading&pond=quarry`);
  await filled(page, { temperature: "75", oxygen: "9.1", ph: "8.4", ammonia: "0.2" }, "2011-09-27T15:30");
  assert.equal(await asks("?tank=North&fish=none"), "Quarry: read first, then say", "an afternoon's oxygen is no dawn's");
  await page.goto(`${farm}log/new?kind=reading&pond=quarry`);
  await filled(page, { temperature: "74", oxygen: "5.1" }, "2011-09-28T06:40");
  // The coldest of five autumn mornings may fall below 68 °F: they can, and had better wait.
  assert.equal(await asks("?tank=North&fish=none"), "Quarry: wait if you can");
  const text = await page.locator("main").innerText();
  assert.match(text, /8\.4; read Tue 27 Sep at 3:30 p\.m\./);
  assert.match(text, /forecast of Wed 28 Sep at .* and past years/);
  assert.match(text, /as tomorrow's dawn likely is: \d+ minutes or more/);
  if (look) await page.screenshot({ path: join(look, "stocking-day.png"), fullPage: true });
  // The sum has the same values, says where they are from, and gives the same answer.
  await page.getByRole("link", { name: "See the sum, and change a figure" }).click();
  assert.equal(await page.locator("[name=ph]").inputValue(), "8.4");
  assert.match(await page.locator("main").innerText(), /Filled in for Quarry on Wed 28 Sep/);
  assert.match(await page.locator("main").innerText(), /Wait if you can: mornings below 20 °C/);
  if (look) await page.screenshot({ path: join(look, "stocking-sum.png"), fullPage: true });
  assert.equal(await asks("?tank=North&fish=some"), "Quarry: do not stock");
  // What the seine showed is an entry; later hauls take the place of earlier ones.
  for (const [count, hour, wanted] of [["3", "07", "Quarry: do not stock"], ["0", "08", "Quarry: wait if you can"]]) {
    await asks("?tank=North");
    await page.getByRole("link", { name: /Enter what the seine showed/ }).click();
    assert.equal(await page.locator("[name=predators]").inputValue(), "fish");
    await filled(page, { predator_count: count }, `2011-09-27T${hour}:00`);
    assert.equal(await asks("?tank=North"), wanted);
  }
  assert.match(await page.locator("main").innerText(), /none; as entered for Tue 27 Sep/);
  await page.goto(`${farm}log/new?kind=reading&pond=quarry`);
  await filled(page, { ph: "9.8" }, "2011-09-27T16:30");
  assert.equal(await asks("?tank=North&fish=none"), "Quarry: do not stock");
  assert.match(await page.locator("p.trouble").first().innerText(), /pH above 9\.5 kills/);
  assert.equal(await asks("?tank=bag"), "Quarry: do not stock");
  await page.goto(`${farm}ponds/willow/stocking`);
  assert.match(await page.locator("main").innerText(), /holds animals already/);
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`the tanks, ${colorScheme}: nothing for axe to find, nothing wide`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    for (const path of ["tanks", "log/new?kind=delivery", "log/new?kind=tank", "log/new?kind=counted_out&tank=North", "log/new?kind=stocked", "seasons", "ponds/quarry/stocking", "sums/stocking?dawn=70 F&tank=79 F&ph=8.6&of=quarry", "winter?pond=quarry"]) {
      await page.goto(farm + path);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      assert.deepEqual(await axed(page), []);
      assert.ok(await tooWide(page) <= 0, "scrolls sideways");
    }
    await context.close();
  });
}
