// The evening before a harvest day: when it is done and what binds, who goes where, cautions at their steps; another crew asked for; the calendar.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("day", (own) => { ({ browser, farm } = own); });

// The morning is reckoned in the background; the page fetches itself anew until it stands.
async function opened(page, address) {
  await page.goto(address);
  await page.waitForFunction(() => /done by|no such|cannot/i.test(document.querySelector("h1").innerText), null, { timeout: 30_000 });
}

test("the answer comes first, with those alone who surely come, and each caution stands at its step", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}plan`);
  await opened(page, `${farm}day/willow`);
  const headline = await page.locator("h1").innerText();
  assert.match(headline, /^Willow, .*: likely done by .*, with the 3 who surely come/);
  assert.match(await page.locator(".answer .reason").innerText(), /^In nine days of ten by .*\. .*(bind|binds)/);
  const crews = await page.locator("section[aria-labelledby=h-crews] tbody tr").allInnerTexts();
  assert.equal(crews.length, 2);
  assert.match(crews[0], /^all \d+/);
  assert.match(crews[1], /^the 3 sure/);
  const net = page.locator(".hours > li", { hasText: "Net in" });
  assert.match(await net.innerText(), /Spines and claws stab/);
  assert.match(await page.locator(".hours > li", { hasText: "edges fall bare" }).innerText(), /Mud holds/);
  // Said once, not at every step.
  for (const once of ["Mud holds", "Two to a tub. A basket", "Prawns are killed by the cold"]) {
    assert.equal((await page.locator("main").innerText()).split(once).length, 2, once);
  }
  assert.match(await page.locator("section[aria-labelledby=h-due]").innerText(), /soft shells[\s\S]*Order ice/);
  assert.match(await page.locator("section[aria-labelledby=h-hands]").innerText(), /owner/);
  assert.ok((await tooWide(page)) <= 0, "nothing is wider than the screen");
  if (look) await page.screenshot({ path: join(look, "day.png"), fullPage: true });
  await page.emulateMedia({ media: "print" });
  if (look) await page.pdf?.({ path: join(look, "day.pdf"), format: "Letter" });
  await page.emulateMedia({ media: "screen" });
  await context.close();
});

test("one order of ice: on the morning's page, among what is due, in the call list, and with what it rests on", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(farm);
  const [, morning] = (await page.locator("main").innerText()).match(/Order ice by [^:]*: ([\d,]+ lb) for Friday/);
  await page.goto(`${farm}day/willow`);
  const ice = (await page.locator("section[aria-labelledby=h-ice]").innerText()).replace(/\s+/g, " ");
  const [, order] = ice.match(/THE ORDER ([\d,]+ lb) of the need, there already [\d,]+ lb cooling the tubs' water .* needed here, by the heat [\d,]+ lb your own rule/);
  assert.equal(order, morning);
  // What is ordered and what is there are what is needed, each rounded by itself.
  const pounds = (name) => Number(ice.match(new RegExp(`${name} ([\\d,]+) lb`))[1].replace(",", ""));
  assert.ok(Math.abs(pounds("THE ORDER") + pounds("there already") - pounds("by the heat")) <= 15, ice);
  assert.match(await page.locator("section[aria-labelledby=h-due]").innerText(), new RegExp(`Order ice: ${order} for the day`));
  assert.match((await page.locator("section[aria-labelledby=h-calls]").innerText()).replace(/\s+/g, " "), new RegExp(`Ice ${order} by `));
  await context.close();
});

test("another crew is asked for and told beside the others; what cannot be read is shown again", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}day/willow`);
  await page.locator("details.ask > summary").click();
  await page.locator("[name=hands]").fill("lots");
  await page.locator("[name=fill]").fill("11 lb");
  await page.locator("details.ask button.main").click();
  assert.match(await page.locator("[role=alert]").innerText(), /hands|lots/i);
  assert.equal(await page.locator("[name=hands]").inputValue(), "lots");
  assert.equal(await page.locator("[name=fill]").inputValue(), "11 lb");
  await page.locator("[name=hands]").fill("9");
  await page.locator("details.ask button.main").click();
  const crews = await page.locator("section[aria-labelledby=h-crews] tbody tr").allInnerTexts();
  assert.equal(crews.length, 3);
  assert.match(crews[2], /^9 as asked/);
  assert.match(await page.locator("section[aria-labelledby=h-checks]").innerText(), /11 lb in each at most/);
  if (look) await page.screenshot({ path: join(look, "day-asked.png"), fullPage: true });
  await context.close();
});

test("the calendar is one that calendars read", async () => {
  const context = await browser.newContext(small);
  const answer = await context.request.get(`${farm}day/quarry/calendar.ics`);
  assert.equal(answer.headers()["content-type"], "text/calendar; charset=utf-8");
  const text = await answer.text();
  const lines = text.split("\r\n");
  assert.equal(lines[0], "BEGIN:VCALENDAR");
  assert.equal(lines.at(-1), "", "every line ends as the form asks");
  assert.ok(lines.every((line) => Buffer.byteLength(line) <= 75), "no line is longer than the form allows");
  const count = (start) => lines.filter((line) => line.startsWith(start)).length;
  assert.ok(count("BEGIN:VEVENT") > 8 && count("BEGIN:VEVENT") === count("END:VEVENT") && count("UID:") === count("BEGIN:VEVENT"));
  assert.match(text.replaceAll("\r\n ", ""), /SUMMARY:Quarry: Order ice: [\d\\,]+ lb for the day\./);
  assert.equal((await context.request.get(`${farm}day/nowhere`)).status(), 404);
  await context.close();
});

test("the page passes the audit in both themes", async () => {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ ...small, colorScheme });
    const page = await context.newPage();
    await opened(page, `${farm}day/heron`);
    assert.deepEqual(await axed(page), []);
    if (look) await page.screenshot({ path: join(look, `day-${colorScheme}.png`), fullPage: true });
    await context.close();
  }
});
