// A harvest day on four phones: two of them long without signal, one that dies while somebody types, a burst of four hundred baskets. Nothing is lost,
// nothing doubled, and the sums meet.
import assert from "node:assert/strict";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { chromium } from "playwright-core";
import { axed, emptied, suite, tooWide, waiting } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("harvest", (own) => { ({ browser, farm } = own); });

const KG = 0.45359237;

/** Opens the scale and waits until its script is there and, where it can be, the pages are put by. */
async function scale(context, pond = "quarry") {
  const page = await context.newPage();
  await page.goto(`${farm}harvest/scale?pond=${pond}`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  return page;
}

/** Weighs baskets one after the other, as fast as the phone takes them. */
const weigh = (page, baskets) => page.evaluate(async (all) => {
  const form = document.querySelector("form.scale");
  for (const [weight, to] of all) {
    form.elements.weight.value = weight;
    form.querySelector(`input[name=to][value=${to}]`).checked = true;
    const kept = new Promise((resolve) => document.addEventListener("kept", resolve, { once: true }));
    form.requestSubmit();
    await kept;
  }
}, baskets);

const board = async (page) => {
  await page.goto(`${farm}harvest?pond=quarry`);
  return page.locator("h1").innerText();
};

// Before anything is weighed: once baskets come out of a pond nobody is woken to look at it.
test("water that was let go and stands wakes somebody, with what to look at", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  const watched = async (fields, when) => {
    await page.goto(`${farm}harvest/watch?pond=willow`);
    for (const [name, value] of Object.entries(fields)) {
      const field = page.locator(`input[name=${name}]`);
      if (name === "stage" || name === "who_watches") await field.fill(value);
      else await page.locator(`input[name=${name}][value=${value}]`).check({ force: true });
    }
    await page.locator("details summary").click();
    await page.locator("#e-when").fill(when);
    await page.locator("button.main").click();
    await page.waitForURL(/harvest\/watch/);
  };
  await watched({ opened: "opened" }, "2011-09-27T21:00");
  await page.goto(`${farm}harvest?pond=willow`);
  const night = page.locator("section[aria-labelledby=h-night]");
  assert.match(await night.innerText(), /Nobody has looked for 10 hours: wake the next person\. /);
  assert.match(await night.innerText(), /Nobody is named for the watch/);
  // Whoever looks at all ponds or at the morning is woken too.
  for (const where of [`${farm}harvest`, farm]) {
    await page.goto(where);
    const wakes = page.locator(".wakes");
    await wakes.waitFor();
    assert.match(await wakes.innerText(), /^Willow, water going down: somebody must go now\.\s+Nobody has looked for 10 hours/);
    assert.match(await wakes.locator("a").getAttribute("href"), /harvest\?pond=willow$/);
    if (look) await page.screenshot({ path: join(look, where === farm ? "wakes-morning.png" : "wakes.png") });
  }
  await watched({ who_watches: "Ann until 1, then Ben" }, "2011-09-27T21:05");
  await page.goto(`${farm}harvest?pond=willow`);
  assert.match(await night.innerText(), /wake the next person \(Ann until 1, then Ben\)/);
  await watched({ stage: "1", screen: "blocked" }, "2011-09-28T06:30");
  await page.goto(`${farm}harvest?pond=willow`);
  const text = await night.innerText();
  assert.match(text, /The screen is blocked: clear it from the bank/);
  assert.match(text, /The water stands 0\.1 ft below full and should stand [^:]*: look for a blocked screen/);
  assert.doesNotMatch(text, /Nobody has looked/);
  if (look) await page.screenshot({ path: join(look, "night.png"), fullPage: true });
  await watched({ opened: "shut" }, "2011-09-28T06:50");
  await page.goto(`${farm}harvest?pond=willow`);
  assert.equal(await night.count(), 0);
  await page.goto(`${farm}harvest`);
  assert.equal(await page.locator(".wakes").count(), 0);
  await context.close();
});

test("by hand: the keys, an odd weight, a basket mended and one struck out", async () => {
  const context = await browser.newContext(small);
  const page = await scale(context, "willow");
  if (look) await page.screenshot({ path: join(look, "scale.png"), fullPage: true });
  for (const key of ["1", "8", ".", "5"]) await page.getByRole("button", { name: key, exact: true }).click();
  assert.equal(await page.locator("#e-weight").inputValue(), "18.5");
  await page.locator("label.chip", { hasText: "Live tanks" }).click();
  await page.getByRole("button", { name: "Next basket" }).click();
  await page.locator("[data-last] li", { hasText: "Willow: 18.5 lb · Live tanks" }).waitFor();
  assert.equal(await page.locator("#e-weight").inputValue(), "");
  assert.ok(await page.locator("input[name=to][value=live]").isChecked(), "where it goes stays for the next one");
  // A slip of the finger is asked about once.
  await page.locator("#e-weight").fill("185");
  await page.getByRole("button", { name: "Next basket" }).click();
  assert.ok(await page.locator("[data-say=odd-weight]").isVisible());
  assert.equal(await page.locator("[data-last] li").count(), 1);
  await page.locator("#e-weight").fill("19.5");
  await page.getByRole("button", { name: "Next basket" }).click();
  await page.locator("[data-last] li", { hasText: "19.5 lb" }).waitFor();
  // What is no weight is not kept at all.
  await page.locator("#e-weight").fill("1e9");
  await page.getByRole("button", { name: "Next basket" }).click();
  assert.ok(await page.locator("[data-say=no-weight]").isVisible());
  assert.equal(await page.locator("[data-last] li").count(), 2);
  // Two taps: mend, then next, with what is typed between. The basket stays in its own pond, whatever the scale was turned to since.
  await page.locator("label.chip", { hasText: "Heron" }).click();
  await page.locator("label.chip", { hasText: "Thrown away" }).click();
  await page.getByRole("button", { name: "Mend: Willow: 19.5 lb · Live tanks" }).click();
  await page.getByRole("button", { name: "9", exact: true }).click();
  await page.getByRole("button", { name: "Next basket" }).click();
  await page.locator("[data-last] li", { hasText: /^Willow: 9 lb · Live tanks/ }).waitFor();
  assert.equal(await page.locator("[data-last] li").count(), 2);
  await page.getByRole("button", { name: "Mend: Willow: 9 lb · Live tanks" }).click();
  await page.locator("label.chip", { hasText: "This basket does not count" }).click();
  await page.getByRole("button", { name: "Next basket" }).click();
  await page.locator("[data-last] li", { hasText: "does not count" }).waitFor();
  await emptied(page);
  await page.goto(`${farm}harvest?pond=willow`);
  assert.equal(await page.locator("h1").innerText(), "Willow: 18.5 lb caught, in one basket");
  await context.close();
});

test("four phones, two without signal, one that dies, four hundred baskets", async () => {
  const home = mkdtempSync(join(tmpdir(), "warmspell-phone-"));
  const options = { executablePath: process.env.CHROMIUM, headless: true, ...small,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"] };
  const [lead, near, far] = await Promise.all([1, 2, 3].map(() => browser.newContext(small)));
  let mortal = await chromium.launchPersistentContext(home, options);
  const pages = await Promise.all([lead, near, far, mortal].map((context) => scale(context)));
  // Every basket has a weight of its own: what is doubled or lost shows in the sum.
  const of = (phone) => Array.from({ length: 100 }, (_, n) => [(10 + phone + n / 100).toFixed(2), n % 5 === 0 ? "live" : "chill"]);
  const pounds = [0, 1, 2, 3].flatMap((phone) => of(phone).map(([weight]) => Number(weight))).reduce((sum, one) => sum + one, 0);
  await far.setOffline(true);
  await mortal.setOffline(true);
  await Promise.all(pages.map((page, phone) => weigh(page, of(phone))));
  assert.equal(await waiting(pages[2]), 100, "without signal all of them wait on the phone");
  assert.equal(await waiting(pages[3]), 100);
  // It dies while the next one is typed: what was kept is on its disk, what was half typed is not a basket.
  await pages[3].locator("#e-weight").fill("77");
  await mortal.close();
  await emptied(pages[0]);
  await emptied(pages[1]);
  assert.match(await board(await lead.newPage()), /^Quarry: [\d,]+ lb caught, in 200 baskets$/);
  // Twenty minutes later: signal again, and the dead phone is charged.
  await far.setOffline(false);
  await emptied(pages[2]);
  mortal = await chromium.launchPersistentContext(home, options);
  const again = await mortal.newPage();
  await again.goto(`${farm}harvest/scale?pond=quarry`);
  await again.locator("[data-outbox][data-ready=yes]").waitFor();
  await emptied(again);
  // It sends once more all that it ever sent, as after a restored record: nothing is doubled.
  const page = await lead.newPage();
  assert.equal(await board(page), `Quarry: ${Math.round(pounds).toLocaleString("en-US")} lb caught, in 400 baskets`);
  await mortal.close();
  rmSync(home, { recursive: true, force: true });

  // The day goes on at the table, and closes.
  const chill = [0, 1, 2, 3].flatMap((phone) => of(phone)).filter(([, to]) => to === "chill").reduce((sum, [weight]) => sum + Number(weight), 0);
  const moved = async (from, into, weight, as) => {
    await page.goto(`${farm}harvest/table?pond=quarry`);
    await page.locator("[data-outbox][data-ready=yes]").waitFor();
    await page.locator(`input[name=out_of][value=${from}]`).check({ force: true });
    await page.locator(`input[name=into][value=${into}]`).check({ force: true });
    if (as) await page.locator(`input[name=form_of][value=${as}]`).check({ force: true });
    await page.locator("[name=weight]").fill(weight);
    await page.locator("form.entry button.main").click();
    await page.locator("[data-say=sent]").waitFor();
  };
  await moved("chill", "table", chill.toFixed(2));
  await board(page);
  assert.match(await page.locator("section[aria-labelledby=h-close]").innerText(), /came to the table and is neither tails nor waste/);
  await moved("table", "store", (0.47 * chill).toFixed(2), "tails");
  await moved("table", "waste", (0.52 * chill).toFixed(2));
  await board(page);
  const close = await page.locator("section[aria-labelledby=h-close]").innerText();
  assert.match(close, /The sums meet: all of the [\d,]+ lb is somewhere, within 2 %/);
  assert.match(close, /Tails are 47 %/);
  assert.match(close, /Not closed yet: count everybody out of the water/);
  await page.goto(`${farm}harvest/close?pond=quarry`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  await page.locator("input[name=all_out][value=yes]").check({ force: true });
  await page.locator("input[name=none_left][value=no]").check({ force: true });
  await page.locator("form.entry button.main").click();
  await page.locator("[data-say=sent]").waitFor();
  await board(page);
  const closed = await page.locator("section[aria-labelledby=h-close]").innerText();
  assert.match(closed, /Everybody was counted out at 7 a\.m\.\s+Live animals are left: walk the pools again/);
  if (look) await page.screenshot({ path: join(look, "board.png"), fullPage: true });
  await page.getByRole("link", { name: "Take it over as the pond's catch" }).click();
  assert.ok(Math.abs(Number((await page.locator("[name=caught]").inputValue()).split(" ")[0]) - pounds) < 0.1);
  assert.ok(await page.locator("input[name=empty][value=yes]").isChecked());
  await Promise.all([lead, near, far].map((context) => context.close()));
});

test("the day is told again with every entry, and everybody is counted out by name", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  const entered = async (station, fields, when) => {
    await page.goto(`${farm}harvest/${station}?pond=lower`);
    for (const [name, value] of Object.entries(fields)) {
      const radio = page.locator(`input[name=${name}][value="${value}"]`);
      if (await radio.count() > 0) await radio.check({ force: true });
      else await page.locator(`[name=${name}]`).fill(value);
    }
    if (when && await page.locator("#e-when").count() > 0) {
      await page.locator("details summary").click();
      await page.locator("#e-when").fill(when);
    }
    await page.locator("button.main").click();
    await page.waitForURL(new RegExp(`harvest/${station}`));
  };
  await entered("people", { came: "Ann, Ben, Cy" });
  for (const weight of ["18", "19", "17.5"]) await entered("scale", { weight, to: "chill", tub: "B" });
  const why = page.locator("section.answer .why");
  // It waits for the morning's own answer.
  for (let turn = 0; turn < 120; turn += 1) {
    await page.goto(`${farm}harvest?pond=lower`);
    if (/Likely done/.test(await why.innerText())) break;
    await page.waitForTimeout(500);
  }
  assert.match(await why.innerText(), /Likely done at [\d:]+ [ap]\.m\. \(8 in 10: .*\)/);
  assert.match(await why.innerText(), /About [\d,]+ lb more come out of the water/);
  assert.match(await page.locator("section[aria-labelledby=h-tubs]").innerText(), /Tub B\s+54\.5 lb, the last in at 7 a\.m\.: cold about/);
  assert.match(await page.locator("section[aria-labelledby=h-water]").innerText(), /Here\s+3: Ann, Ben, Cy/);
  if (look) await page.screenshot({ path: join(look, "again.png"), fullPage: true });
  const done = async () => (await why.innerText()).match(/Likely done at ([\d:]+ [ap]\.m\.)/)[1];
  const before = await done();
  // Held water, and half of the hands gone: the hour moves.
  await entered("people", { gone: "ben" });
  await entered("watch", { opened: "held" }, "2011-09-28T05:30");
  await page.goto(`${farm}harvest?pond=lower`);
  assert.notEqual(await done(), before);
  assert.match(await why.innerText(), /The water is held: write it down/);
  await entered("close", { all_out: "yes", none_left: "yes", gear_back: "no" });
  await page.goto(`${farm}harvest?pond=lower`);
  const close = await page.locator("section[aria-labelledby=h-close]").innerText();
  assert.match(close, /Not written as gone home: Ann, Cy/);
  assert.match(close, /What was lent is not on its way back/);
  await entered("people", { gone: "Ann, Cy" });
  await page.goto(`${farm}harvest?pond=lower`);
  assert.doesNotMatch(await page.locator("section[aria-labelledby=h-close]").innerText(), /Not written as gone home/);
  await context.close();
});

test("puddles are walked once more, and water over the bank is told until the season ends", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}harvest/tally`);
  await page.locator("input[name=pond][value=heron]").check({ force: true });
  await page.locator("#e-when").fill("2011-09-27T09:00");
  await page.locator("#e-lines").fill("18 chill\n17 chill");
  await page.locator("button.main").click();
  await page.goto(farm);
  const walk = page.getByRole("link", { name: "Heron came out yesterday: walk its puddles once more at first light" });
  await walk.click();
  await page.locator("input[name=all_out][value=yes]").check({ force: true });
  await page.locator("[name=second_walk]").fill("3");
  await page.locator("button.main").click();
  await page.goto(farm);
  assert.equal(await walk.count(), 0);
  // It counts with the day of the catch, and a pond that nobody wrote down as empty is asked about.
  await page.goto(`${farm}harvest?pond=heron&day=2011-09-27`);
  assert.match(await page.locator("main").innerText(), /The second walk brought 3\.0 lb: with it 38\.0 lb came out/);
  await page.goto(farm);
  const full = page.getByRole("link", { name: /38\.0 lb of Heron was weighed on 27 Sep and the pond still counts as full/ });
  assert.match(await full.getAttribute("href"), /kind=catch&pond=heron&caught=38.0\+lb&empty=yes&when=2011-09-27T12:00/);
  await full.click();
  assert.equal(await page.locator("[name=caught]").inputValue(), "38.0 lb");
  assert.equal(await page.locator("#e-when").inputValue(), "2011-09-27T12:00");
  if (look) await page.screenshot({ path: join(look, "catch-of-baskets.png"), fullPage: true });
  await page.goto(`${farm}harvest?pond=nowhere&day=soon`);
  assert.match(await page.locator("main").innerText(), /There is no pond "nowhere" here[^]*"soon" is no day/);
  // A flood is an entry of the log, and the morning holds that fewer may be left.
  const number = async () => {
    await page.goto(`${farm}ponds/heron`);
    return page.locator("main").innerText();
  };
  const before = await number();
  await page.goto(`${farm}log/new?kind=overflow&pond=heron`);
  await page.locator("input[name=over][value=bank]").check({ force: true });
  await page.locator("button.main").click();
  for (let turn = 0; turn < 60; turn += 1) {
    await page.goto(farm);
    if (/Water ran over Heron/.test(await page.locator("main").innerText())) break;
    await page.waitForTimeout(500);
  }
  assert.match(await page.locator("main").innerText(), /Water ran over Heron on .*: how many prawns are left in it is less sure/);
  assert.notEqual(await number(), before);
  await context.close();
});

test("cold beyond its limit is told, and stands in the record", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}harvest/cold`);
  await page.locator("input[name=place][value=slurry]").check({ force: true });
  await page.locator("[name=tub]").fill("B");
  await page.locator("[name=temperature]").fill("39");
  await page.locator("input[name=ice_seen][value=no]").check({ force: true });
  await page.locator("button.main").click();
  await page.waitForURL(/harvest\/cold/);
  await page.goto(`${farm}harvest`);
  const cold = await page.locator("section[aria-labelledby=h-cold]").innerText();
  assert.match(cold, /Ice slurry B\s+39\.0 °F, no ice floating, .* More ice, stir, no more animals in/);
  await page.goto(`${farm}harvest/record`);
  const row = await page.locator("tbody tr").innerText();
  assert.equal(await page.locator("tbody tr").count(), 1);
  assert.match(row, /Ice slurry B\s+39\.0 °F, no ice floating\s+34\.7 °F or less before the next lot, ice floating\s+NO/);
  // On a phone each reading is a block: every cell of it lies within the page, and nothing is to be scrolled to.
  const cells = page.locator("tbody tr th, tbody tr td:not(.none)");
  // A cell of which nothing is told takes no room.
  const boxes = (await Promise.all((await cells.all()).map((cell) => cell.boundingBox()))).filter((box) => box);
  assert.ok(boxes.length > 0);
  for (const box of boxes) {
    assert.ok(box.x >= 0 && box.x + box.width <= 360, JSON.stringify(box));
  }
  assert.equal(await page.locator(".wide").count(), 0);
  await context.close();
});

test("a station reads a comma as a point, and sends back what it cannot read", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}harvest/cold?pond=lower`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  const look = async (temperature) => {
    await page.locator("input[name=place][value=slurry]").check({ force: true });
    await page.locator("[name=tub]").fill("C");
    await page.locator("[name=temperature]").fill(temperature);
    await page.locator("button.main").click();
  };
  await look("33,5");
  await page.locator("[data-say=sent]:not([hidden])").waitFor();
  await look("cold");
  // The farm's page comes back with what is wrong and all that was typed.
  await page.locator("[role=alert]").waitFor();
  assert.match(await page.locator("[role=alert]").innerText(), /cold/);
  assert.equal(await page.locator("[name=temperature]").inputValue(), "cold");
  assert.equal(await page.locator("[name=tub]").inputValue(), "C");
  await page.goto(`${farm}harvest?pond=lower`);
  assert.match(await page.locator("section[aria-labelledby=h-cold]").innerText(), /Ice slurry C\s+33\.5 °F/);
  await context.close();
});

test("a paper tally is taken whole or not at all", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}harvest/tally`);
  await page.locator("input[name=pond][value=heron]").check({ force: true });
  const lines = "21.5 chill\n18 lb live 240\n9 kg somewhere\n\n12 dead";
  await page.locator("#e-lines").fill(lines);
  await page.locator("button.main").click();
  assert.match(await page.locator("[role=alert]").innerText(), /Line 3, "9 kg somewhere": say where it went/);
  assert.equal((await page.locator("#e-lines").inputValue()).replaceAll("\r", ""), lines);
  // A slip of the pen is asked about once, and what was typed stays.
  await page.locator("#e-lines").fill("215 chill\n18 lb live");
  await page.locator("button.main").click();
  assert.match(await page.locator("[role=alert]").innerText(), /Line 1, "215 chill": .*215 lb is unusual/);
  assert.doesNotMatch(await page.locator("[role=alert]").innerText(), /Line 2/);
  assert.equal(await page.locator("button.main").innerText(), "Keep it as written");
  assert.ok(await page.locator("input[name=pond][value=heron]").isChecked());
  await page.locator("#e-lines").fill(lines.replace("somewhere", "own"));
  await page.locator("button.main").click();
  await page.waitForURL(/harvest\?pond=heron/);
  const heron = `Heron: ${(51.5 + 9 / KG).toFixed(1)} lb caught, in 4 baskets`;
  assert.equal(await page.locator("h1").innerText(), heron);
  // Back, and the button once more: the same list is kept once.
  await page.goBack();
  await page.locator("button.main").click();
  await page.waitForURL(/harvest\?pond=heron/);
  assert.equal(await page.locator("h1").innerText(), heron);
  await context.close();
});

test("labels carry lot, weight, allergen and cold, and a mistyped number is told", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}harvest/labels?pond=quarry&tub=b&net=5+lb&item=10614141073464&copies=4`);
  const cards = page.locator(".label-card");
  assert.equal(await cards.count(), 4);
  const text = await cards.first().innerText();
  assert.match(text, /Freshwater prawns, whole, chilled/);
  assert.match(text, /Net weight 5\.00 lb \(2267 g\)/);
  assert.match(text, /Lot QUARRY-110928-B\. Caught 2011-09-28, packed 2011-09-28/);
  assert.match(text, /Contains crustacean shellfish/);
  assert.match(text, /\(01\)10614141073464\(13\)110928\(3202\)000500\(10\)QUARRY-110928-B/);
  if (look) await page.screenshot({ path: join(look, "labels.png"), fullPage: true });
  await page.locator("[name=item]").fill("10614141073469");
  await page.locator("form button.main").click();
  assert.match(await page.locator("[role=alert]").innerText(), /Its last digit is 9 and should be 4/);
  assert.equal(await page.locator("[name=item]").inputValue(), "10614141073469");
  assert.equal(await cards.count(), 0);
  await context.close();
});

test("a basket heavier than the note allows is asked about; after one is mended the scale stands as it stood", async () => {
  const context = await browser.newContext(small);
  const page = await scale(context, "heron");
  assert.match(await page.locator(".caution").innerText(), /No more than 10 kg \(22 lb\)/);
  const next = async (weight) => {
    await page.locator("#e-weight").fill(weight);
    await page.getByRole("button", { name: "Next basket" }).click();
  };
  await page.locator("label.chip", { hasText: "Own use" }).click();
  await next("22");
  await page.locator("[data-last] li", { hasText: "22 lb · Own use" }).waitFor();
  await page.locator("label.chip", { hasText: "Ice slurry" }).click();
  await next("31");
  assert.ok(await page.locator("[data-say=odd-weight]").isVisible());
  assert.match(await page.locator("[data-say=odd-weight]").innerText(), /More than 22 lb is much for one basket/);
  await page.getByRole("button", { name: "Mend: Heron: 22 lb · Own use" }).click();
  await next("21");
  await page.locator("[data-last] li", { hasText: "21 lb · Own use" }).waitFor();
  assert.ok(await page.locator("input[name=to][value=chill]").isChecked(), "the next one goes where the last one was to go");
  // A station left open for hours writes the hour of the basket, not that of the page.
  const apart = await page.evaluate(async () => {
    const form = document.querySelector("form.scale");
    form.dataset.clock = "live";
    form.elements.weight.value = "12";
    const kept = new Promise((resolve) => document.addEventListener("kept", (event) => resolve(event.detail.fact), { once: true }));
    form.requestSubmit();
    const fact = await kept;
    return Math.abs(fact.happened.utc_s - Date.now() / 1000);
  });
  assert.ok(apart < 90, `${apart} s apart`);
  await context.close();
});

test("a station begins fresh after each entry: no answer and no hour of the last one stays", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}harvest/edge?pond=heron`);
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  const when = await page.locator("#e-when").inputValue();
  await page.locator("input[name=stranded][value=none]").check({ force: true });
  await page.locator("[name=passes]").fill("2");
  if (await page.locator("#e-when").isHidden()) await page.locator("details summary").click();
  await page.locator("#e-when").fill("2011-09-28T05:10");
  await page.locator("form.entry button.main").click();
  await page.locator("[data-say=sent]:not([hidden])").waitFor();
  const checked = await page.evaluate(() => [...document.querySelectorAll("form.entry input[type=radio]:checked")].map((one) => `${one.name}=${one.value}`));
  assert.deepEqual(checked, ["pond=heron"]);
  assert.equal(await page.locator("#e-when").inputValue(), when);
  assert.equal(await page.locator("[name=passes]").inputValue(), "");
  await context.close();
});

test("a tub that is emptied shows empty, the day before has its day, and a closed pond tells of its live tanks", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  const entered = async (station, fields, when) => {
    await page.goto(`${farm}harvest/${station}?pond=heron`);
    for (const [name, value] of Object.entries(fields)) {
      const radio = page.locator(`input[name=${name}][value="${value}"]`);
      if (await radio.count() > 0) await radio.check({ force: true });
      else await page.locator(`[name=${name}]`).fill(value);
    }
    if (when) {
      await page.locator("details summary").click();
      await page.locator("#e-when").fill(when);
    }
    await page.locator("button.main").click();
    await page.waitForURL(new RegExp(`harvest/${station}`));
  };
  const board = async () => {
    await page.goto(`${farm}harvest?pond=heron`);
    return (await page.locator("main").innerText()).replace(/\s+/g, " ");
  };
  await entered("watch", { stage: "2 ft", screen: "clear" }, "2011-09-27T22:00");
  await entered("scale", { weight: "18", to: "chill", tub: "H" });
  await entered("scale", { weight: "20", to: "live", tub: "1" });
  assert.match(await board(), /Tub H 18\.0 lb, the last in at 7 a\.m\./);
  assert.match(await board(), /Water below full 2\.0 ft at 10 p\.m\. on Tue 27 Sep/);
  assert.match(await board(), /Watch at 10 p\.m\. on Tue 27 Sep: screen clear/);
  // It dripped: the scale says less than went in.
  await page.goto(`${farm}harvest/table?pond=heron`);
  assert.match(await page.locator("main").innerText(), /Out of tub or tank[\s\S]*as at the scale: it holds that much less[\s\S]*Into tub or tank/);
  await entered("table", { out_of: "chill", out_tub: "tub h", out_empty: "yes", into: "store", weight: "17.4" });
  assert.match(await board(), /Tub H empty since 7 a\.m\./);
  assert.doesNotMatch(await board(), /more came out|still in it by what was written/, "half a pound is what drips");
  await page.locator("#h-last + ul a.mend").first().click();
  assert.match(await page.locator("h1").innerText(), /Mend|Correct|entry/i);
  await entered("close", { all_out: "yes", none_left: "yes" });
  assert.match(await board(), /No live animal is left in the pond or at its outlet, and none was let out\. The live tanks still hold 38\.0 lb/);
  // Tubs and tanks that do not come out even are asked about.
  await entered("scale", { weight: "30", to: "chill", tub: "J" });
  await entered("table", { out_of: "chill", out_tub: "J", out_empty: "yes", into: "store", weight: "20" });
  assert.match(await board(), /Tub J written down as empty with 10\.0 lb still in it by what was written: where did they go\?/);
  await entered("scale", { weight: "5", to: "live", tub: "2" });
  await entered("table", { out_of: "live", out_tub: "2", into: "sold", weight: "20" });
  assert.match(await board(), /Live tank 2 \d+\.\d lb more came out than was written down as put in: was it another one, or was a basket not written\?/);
  await context.close();
});

test("what swims in a tank beyond its limits is sold to nobody until the tank is read well again", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  const read = async (temperature) => {
    await page.goto(`${farm}harvest/cold`);
    await page.locator("input[name=place][value=live]").check({ force: true });
    await page.locator("[name=tub]").fill("Tank 1");
    await page.locator("[name=temperature]").fill(temperature);
    await page.locator("[name=oxygen]").fill("6");
    await page.locator("button.main").click();
    await page.waitForURL(/harvest\/cold/);
  };
  const live = async () => {
    await page.goto(`${farm}sale`);
    const left = await page.locator("section[aria-labelledby=h-supply] tbody tr").first().locator("td").last().textContent();
    return Number(left.replace("about ", "").split(" ")[0].replace(",", ""));
  };
  const before = await live();
  assert.ok(before >= 20, `${before}`);
  await read("82.4");
  for (const path of ["sale", "buyers"]) {
    await page.goto(farm + path);
    const held = page.locator("#held");
    for (let turn = 0; turn < 60 && await held.count() === 0; turn += 1) { await page.waitForTimeout(500); await page.goto(farm + path); }
    const said = (await held.innerText()).replace(/\s+/g, " ");
    assert.match(said, /Look at the tank first Live tank 1: 20\.0 lb is held\. At 7 a\.m\. it was 82\.4 °F, and 64\.4 °F to 77\.0 °F is right\./);
    if (look) await page.screenshot({ path: join(look, `held-${path}.png`), fullPage: true });
  }
  assert.ok(Math.abs(before - await live() - 20) < 0.02, "20 lb fewer may be handed out alive");
  await read("64.4");
  await page.goto(`${farm}buyers`);
  assert.equal(await page.locator("#held").count(), 0);
  assert.ok(Math.abs(before - await live()) < 0.02);
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`the harvest day's pages, ${colorScheme}: nothing for axe to find, nothing wide, nothing small`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    for (const path of ["harvest", "harvest?pond=quarry", "harvest/scale", "harvest/edge", "harvest/cold", "harvest/table", "harvest/watch", "harvest/people", "harvest/close", "harvest/record", "harvest/tally", "harvest/labels?pond=quarry&tub=b&net=5+lb"]) {
      await page.goto(farm + path);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      if (path.startsWith("harvest/")) await page.waitForTimeout(100);
      assert.deepEqual(await axed(page), [], path);
      assert.ok(await tooWide(page) <= 0, `${path} scrolls sideways`);
      if (look && colorScheme === "light") await page.screenshot({ path: join(look, `${path.replaceAll(/\W/g, "-")}.png`), fullPage: true });
    }
    await context.close();
  });
}
