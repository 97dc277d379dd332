// Two batches of one pond in one season, and a season that ends and another that begins: entered at the pond, followed by every page.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("seasons", (own) => { ({ browser, farm } = own); });

/** A picture for a person to look at, when LOOK names a folder. */
const picture = async (page, name) => { if (look) await page.screenshot({ path: join(look, `${name}.png`), fullPage: true }); };

/** Enters something with script off, confirming what looks odd. */
async function entered(page, path, fields, when) {
  await page.goto(farm + path);
  for (const [name, value] of Object.entries(fields)) {
    if (name === "empty") await page.locator(`input[name=empty][value=${value}]`).check();
    else await page.locator(`#e-${name}`).fill(value);
  }
  await page.locator("details summary").click();
  await page.locator("#e-when").fill(when);
  await page.locator("button.main").click();
}
const lots = async (page, pond) => {
  await page.goto(`${farm}seasons`);
  return (await page.locator(".lots li", { hasText: pond }).allInnerTexts()).map((text) => text.replace(/\s+/g, " "));
};

for (const colorScheme of ["light", "dark"]) {
  test(`the seasons, ${colorScheme}: nothing for axe to find, nothing wide, nothing small`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    await page.goto(`${farm}seasons`);
    assert.deepEqual(await axed(page), []);
    assert.ok(await tooWide(page) <= 0, "scrolls sideways");
    await picture(page, `seasons-${colorScheme}`);
    assert.equal(await page.locator("h1").innerText(), "Season begun 27 May 2011");
    assert.match(await page.locator("main").innerText(), /Willow, Quarry, Lower and Heron hold animals/);
    await context.close();
  });
}

test("a pond comes out, is stocked again, and morning, pond and plan follow the second batch", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}seasons`);
  await page.locator(".lots li", { hasText: "Willow" }).getByRole("link", { name: "Enter a catch" }).click();
  assert.ok(await page.locator("input[name=pond][value=willow]").isChecked());
  await entered(page, "log/new?kind=catch&pond=willow", { caught: "240", empty: "yes", mean_weight: "34", counted: "60" }, "2011-09-24T16:00");
  await page.waitForURL(`${farm}log`);
  let rows = await lots(page, "Willow");
  assert.match(rows[0], /Out 24 Sep, 240 lb, about 3,200 animals Stock it again/);
  // The morning no longer plans it. The page fetches itself anew until the answer stands.
  await page.goto(`${farm}ponds/willow`);
  await page.getByRole("heading", { name: "Willow came out on Saturday 24 September." }).waitFor({ timeout: 20_000 });

  // A stocking of a pond that still holds animals is asked about once.
  await entered(page, "log/new?kind=stocked&pond=heron", { stocked: "3000", mean_weight: "2" }, "2011-09-26T10:00");
  assert.match(await page.locator("[role=alert]").innerText(), /Heron still holds what was stocked on/);
  await page.goto(`${farm}log/new?kind=stocked&pond=willow`);
  await entered(page, "log/new?kind=stocked&pond=willow", { stocked: "4,000", mean_weight: "2" }, "2011-09-26T10:00");
  await page.waitForURL(`${farm}log`);
  rows = await lots(page, "Willow");
  assert.equal(rows.length, 2);
  assert.match(rows[1], /Stocked 26 Sep: 4,000 of 2.00 g In the water, day 2 Enter a catch/);
  await picture(page, "seasons-two");
  await page.goto(`${farm}ponds/willow`);
  await page.getByText(/3 g, 1[0-9][0-9] to the pound/).first().waitFor({ timeout: 20_000 });
  // Set-up shows the stocking that holds.
  await page.goto(`${farm}setup/ponds/0`);
  const shown = await page.content();
  assert.ok(shown.includes("2011-09-26"), "the set-up tells of the second batch");
  await context.close();
});

test("a season ends only when every pond is out, and the next begins with its own last day", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}seasons`);
  assert.match(await page.locator("main").innerText(), /still hold animals. Enter the last catch of each first/);
  assert.equal(await page.getByRole("button", { name: "This season is over" }).count(), 0);
  for (const pond of ["willow", "quarry", "heron", "lower"]) {
    await entered(page, `log/new?kind=catch&pond=${pond}`, { empty: "yes" }, "2011-09-27T16:00");
    await page.waitForURL(`${farm}log`);
  }
  await page.goto(farm);
  await page.getByRole("heading", { name: "Every pond is out" }).waitFor({ timeout: 20_000 });
  await picture(page, "morning-all-out");
  // The next question then: may the next animals go in?
  assert.equal(await page.getByRole("link", { name: /: Can they go in\?$/ }).count(), 4);
  await page.goto(`${farm}ponds/heron`);
  assert.equal(await page.locator("h1").innerText(), "Heron came out on Tuesday 27 September.");
  await picture(page, "pond-all-out");
  await page.goto(`${farm}seasons`);
  // Too early a day is told, and what was typed stands.
  await page.locator("#e-last_day").fill("2011-09-20");
  await page.getByRole("button", { name: "This season is over" }).click();
  assert.match(await page.locator("[role=alert]").innerText(), /A pond came out on Tuesday 27 September/);
  assert.equal(await page.locator("#e-last_day").inputValue(), "2011-09-20");
  await page.locator("#e-last_day").fill("2011-09-27");
  await page.getByRole("button", { name: "This season is over" }).click();
  await page.waitForURL(`${farm}seasons`);
  assert.match(await page.locator("main").innerText(), /27 May 2011 to 27 Sep 2011/);
  await page.locator("#e-name").fill("A late try");
  await page.locator("#e-first_day").fill("2011-09-26");
  await page.locator("#e-last_catch").fill("2011-09-01");
  await page.getByRole("button", { name: "Begin it" }).click();
  const told = await page.locator("[role=alert]").innerText();
  await picture(page, "seasons-wrong");
  assert.match(told, /The season before runs to/);
  assert.match(told, /Choose a day after the first one/);
  assert.equal(await page.locator("#e-name").inputValue(), "A late try");
  await page.locator("#e-first_day").fill("2011-09-28");
  await page.locator("#e-last_catch").fill("2012-09-20");
  await page.getByRole("button", { name: "Begin it" }).click();
  await page.waitForURL(`${farm}seasons`);
  assert.equal(await page.locator("h1").innerText(), "A late try");
  assert.match(await page.locator("#h-earlier ~ h3").innerText(), /Season begun 27 May 2011/);
  await picture(page, "seasons-next");
  await page.goto(`${farm}called-and-came`);
  assert.match(await page.locator("main").innerText(), /A late try/);
  await context.close();
});
