// A pond emptied by the clock: the answer first, the falling line, the water by place, what if; on a small phone, with script off.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("drain", (own) => { ({ browser, farm } = own); });

/** A picture for a person to look at, when LOOK names a folder. */
const picture = async (page, name) => { if (look) await page.screenshot({ path: join(look, `${name}.png`), fullPage: true }); };
const ready = async (page, path) => {
  await page.goto(farm + path);
  await page.locator("h1", { hasText: /Open|Start|Turn|will not empty|has been going|Emptying/ }).waitFor({ timeout: 30_000 });
};

for (const colorScheme of ["light", "dark"]) {
  for (const path of ["drain/quarry", "drain/lower", "drain/heron?outlet_water=5+ft", "drain/quarry?seine=3+h", "drain/quarry?at=soup&depth=40+ft"]) {
    test(`${path}, ${colorScheme}: nothing for axe to find, nothing wide, nothing small`, async () => {
      const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
      const page = await context.newPage();
      await ready(page, path);
      assert.deepEqual(await axed(page), []);
      assert.ok(await tooWide(page) <= 0, "scrolls sideways");
      await picture(page, `${path.replace(/[^a-z0-9]+/g, "-")}-${colorScheme}`);
      await context.close();
    });
  }
}

test("the hour of opening comes first, agrees with the morning's plan, and each step has its caution", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await ready(page, "ponds/quarry");
  const planned = await page.locator("h1").innerText();
  await page.getByRole("link", { name: "When to open what, hour by hour" }).click();
  await page.locator("h1", { hasText: "Open Quarry's drain" }).waitFor();
  const said = await page.locator("h1").innerText();
  const [, day] = planned.match(/on (\w+day)/i) ?? planned.match(/(\w+day)/i);
  assert.ok(said.includes("catch depth"), said);
  assert.ok(planned.includes(day), planned);
  const main = (await page.locator("main").innerText()).replace(/\s+/g, " ");
  for (const text of ["Ask your authority whether pond water may be let out", "Nobody goes to the bank alone", "Mud holds", "has been checked on none"]) {
    assert.ok(main.includes(text), text);
  }
  assert.ok(!main.includes("Fumes kill"), "no pump runs here");
  // Line, title and sentence of the chart; and its figures as a table.
  assert.equal(await page.locator("svg title", { hasText: "The water by the drain, hour by hour" }).count(), 1);
  assert.ok(await page.locator(".falling figcaption p").first().innerText().then((text) => /Half of the ground lies bare/.test(text)));
  await page.locator("section details summary", { hasText: "figures" }).first().click().catch(() => {});
  assert.ok(await page.locator("caption", { hasText: "Level, bare floor and water left" }).count());
  await context.close();
});

test("a pond with pumps names them, their fuel and their fumes", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await ready(page, "drain/lower");
  assert.match(await page.locator("h1").innerText(), /Start the trash pump and the small pump at Lower/);
  const main = await page.locator("main").innerText();
  assert.match(main, /gal in store|gal are in store/);
  assert.match(main, /Fumes kill/);
  await context.close();
});

test("a ditch told by hours turns the drain at its hour; an early catch depth says why; one in another farm's metres too", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  // By the form, as somebody types it at the bank.
  await ready(page, "drain/quarry");
  await page.locator(".ask summary").click();
  await page.locator("#q-outlet_water").fill("0.3 m at 04:00, 3 ft at 10 a.m.");
  await page.locator("button.main").click();
  await page.locator(".trouble").first().waitFor();
  assert.match(await page.locator(".trouble").first().innerText(), /The river or ditch runs into the pond from \w+ at [67]:?\d* a\.m\. Shut the drain before/);
  const main = (await page.locator("main").innerText()).replace(/\s+/g, " ");
  assert.match(main, /The river or ditch as it was told: 1 ft \w+ at 4 a\.m\., then 3 ft \w+ at 10 a\.m\. Between these hours/);
  assert.match(main, /The ditch runs into the pond: shut the drain/);
  // The drawing shows it rising: its line ends higher than it begins.
  const points = (await page.locator("path.outlet").getAttribute("d")).replace("M", "").split(" L").map((pair) => Number(pair.split(" ")[1]));
  assert.ok(points[0] > points.at(-1), points.join(" "));
  await picture(page, "drain-rising");
  await page.goto(`${farm}drain/quarry?outlet_water=1+ft+at+soup`);
  assert.match(await page.locator("[role=alert]").innerText(), /soup. is not a time of day/);
  assert.equal(await page.locator("#q-outlet_water").inputValue(), "1 ft at soup");
  // Nobody opens at night: it stands early, and the answer says so.
  await ready(page, "drain/lower?at=08:00&day=2011-10-01");
  assert.match(await page.locator(".answer").innerText(), /That is \d+ hours before Saturday at 8 a\.m\., the hour that is wanted: nobody is there to open between 10 p\.m\. and \d a\.m\.[^.]*\. Stop the pumps at catch depth until then\./);
  await context.close();
});

test("two levels, the first held; a high ditch; an hour of one's own; what is mistyped stays", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await ready(page, "drain/quarry?seine=3+h");
  assert.match(await page.locator("h1").innerText(), /hold the water for the net until/);
  await ready(page, "drain/heron?outlet_water=5+ft");
  assert.match(await page.locator("h1").innerText(), /will not empty: its drain stalls/);
  assert.match(await page.locator(".trouble").first().innerText(), /one more pump of .* would do it/);
  // By the form: an hour of opening.
  await page.goto(`${farm}drain/quarry`);
  await page.locator(".ask summary").click();
  await page.locator("#q-open_day").fill("2011-09-29");
  await page.locator("#q-open_at").fill("16:10");
  await page.locator("button.main").click();
  await page.locator("h1", { hasText: "Thursday at 4:10" }).waitFor();
  // Mistyped: the same page, with the typing kept and a way to each field.
  await page.goto(`${farm}drain/quarry?at=soup&blocked=30%25`);
  assert.equal(await page.locator("#q-at").inputValue(), "soup");
  assert.equal(await page.locator("#q-blocked").inputValue(), "30%");
  assert.equal(await page.locator("[role=alert] a").first().getAttribute("href"), "#q-at");
  await context.close();
});
