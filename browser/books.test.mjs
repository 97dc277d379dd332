// The books on a small phone: a first look at invented figures, then own ones; a cost mended and struck; what is wrong is said; files that add up; crew see none of it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axed, suite, tooWide, waiting } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("books", (own) => { ({ browser, farm } = own); });

const shot = async (page, name) => {
  if (look) await page.screenshot({ path: `${look}/${name}.png`, fullPage: true });
};

/** The journal as rows of cells. */
async function journal(context, year) {
  const answer = await context.request.get(`${farm}books/journal.csv?year=${year}`);
  assert.equal(answer.status(), 200);
  const lines = (await answer.text()).trim().split("\r\n").slice(1);
  return lines.map((line) => {
    const cells = line.match(/("([^"]|"")*"|[^,]*)(,|$)/g).map((cell) => cell.replace(/,$/, ""));
    return { account: cells[4], pond: cells[5], debit: Number(cells[6] || 0), credit: Number(cells[7] || 0) };
  });
}

const cents = (rows, side) => rows.reduce((sum, row) => sum + Math.round(100 * row[side]), 0);

async function enter(page, kind, fields) {
  await page.goto(`${farm}log/new?kind=${kind}`);
  const later = page.locator("form.entry details:not([open]) > summary");
  if (await later.count()) await later.first().click();
  for (const [name, value] of Object.entries(fields)) {
    const select = page.locator(`select[name=${name}]`);
    const radio = page.locator(`input[type=radio][name=${name}][value="${value}"]`);
    if (await select.count()) await select.selectOption(value);
    else if (await radio.count()) await radio.check({ force: true });
    else await page.locator(`input[name=${name}]`).fill(value);
  }
  await page.locator("form.entry button.main").click();
}

test("a first look shows a whole year, invented and said so, on a small phone", async () => {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ ...small, colorScheme });
    const page = await context.newPage();
    await page.goto(`${farm}books`);
    assert.match(await page.locator("h1").innerText(), /^2010 (made|is) /);
    assert.match(await page.locator(".answer").innerText(), /invented/);
    assert.equal(await page.locator("figure svg").count(), 2);
    const parents = await page.$$eval("figure svg *", (all) => all.map((one) => one.parentElement.tagName.toLowerCase()));
    assert.ok(parents.every((name) => name === "svg" || name === "g"), "every shape stands in the drawing itself");
    assert.ok(await tooWide(page) <= 0, "nothing runs out of the window");
    assert.deepEqual(await axed(page), []);
    await shot(page, `books-${colorScheme}`);
    for (const more of ["report", "journal"]) {
      await page.goto(`${farm}books/${more}`);
      assert.ok(await tooWide(page) <= 0, more);
      const beyond = await page.evaluate(() => [...document.querySelectorAll("main tbody td, main tbody th")].filter((one) => one.getBoundingClientRect().right > innerWidth).length);
      assert.equal(beyond, 0, `${more}: no figure beyond the edge`);
      assert.deepEqual(await axed(page), [], more);
      await shot(page, `books-${more}-${colorScheme}`);
    }
    await context.close();
  }
});

test("the ponds' table adds up to the farm, and the journal to nothing", async () => {
  const context = await browser.newContext(small);
  const rows = await journal(context, "2010-06-01");
  assert.ok(rows.length > 100);
  assert.equal(cents(rows, "debit"), cents(rows, "credit"));
  const page = await context.newPage();
  await page.goto(`${farm}books?year=2010-06-01`);
  const money = (text) => Number(text.replace(/[$,]/g, ""));
  const nets = await page.locator("#h-ponds ~ .wide tbody tr").evaluateAll((all) => all.map((row) => row.children[1].innerText));
  const [whole, ...ponds] = nets.map(money).reverse();
  // Each is shown rounded to the dollar.
  assert.ok(Math.abs(ponds.reduce((sum, one) => sum + one, 0) - whole) <= ponds.length, nets.join(" "));
  for (const [file, begins] of [["books.xlsx", "PK"], ["report.pdf", "%PDF"]]) {
    const answer = await context.request.get(`${farm}books/${file}?year=2010-06-01`);
    assert.equal(answer.status(), 200, file);
    assert.equal((await answer.body()).subarray(0, begins.length).toString(), begins, file);
  }
  await context.close();
});

test("what cannot be counted is said beside its field, and nothing typed is lost", async () => {
  const page = await browser.newPage({ ...small, javaScriptEnabled: false });
  await enter(page, "cost", { cost_for: "feed", cost: "€12", how_much: "two bags" });
  assert.match(await page.locator("#w-cost").innerText(), /reckons in USD/);
  assert.equal(await page.locator("#e-how_much").inputValue(), "two bags");
  await page.locator("#e-cost").fill("12.345");
  await page.locator("form.entry button.main").click();
  assert.match(await page.locator("#w-cost").innerText(), /no coin that small/);
  await shot(page, "books-wrong");
  await page.close();
});

test("an amount that the farm cannot read is refused without signal too, with what to write", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}log/new?kind=cost`);
  await page.locator("[data-ready=yes]").waitFor();
  assert.doesNotMatch(await page.locator("main").innerText(), /does not reckon with it/);
  await page.locator("select[name=cost_for]").selectOption("feed");
  await context.setOffline(true);
  for (const text of ["120,50", "1.200,50", "twelve"]) {
    await page.locator("#e-cost").fill(text);
    await page.locator("form.entry button.main").click();
    await page.locator("[data-say=money]").waitFor();
    assert.match(await page.locator("[data-say=money]").innerText(), /such as 120\.50/);
    assert.equal(await page.locator("#e-cost").inputValue(), text, "what was typed stands");
  }
  assert.equal(await waiting(page), 0, "nothing is kept that counts for nothing");
  if (look) await page.screenshot({ path: `${look}/books-offline.png`, fullPage: true });
  await context.close();
});

test("a year of sales without a cost tells no break-even", async () => {
  const page = await browser.newPage({ ...small, javaScriptEnabled: false });
  await page.goto(`${farm}log/new?kind=sale`);
  const day = (await page.locator("[name=when]").inputValue()).slice(0, 10);
  await enter(page, "sale", { table: "Gate", sold_as: "whole", amount: "20", price: "$10/lb" });
  await page.goto(`${farm}books?year=${day}`);
  const said = await page.locator("main").innerText();
  assert.match(await page.locator("h1").innerText(), /sold for \$200.*; no cost is entered yet/, said);
  assert.doesNotMatch(said, /after all costs|\$0\.00\/lb/);
  await shot(page, "books-no-cost");
  // Taken out again: the next test begins with its own first cost.
  await page.goto(`${farm}log`);
  await page.locator("li", { hasText: "Gate" }).locator("a.mend").first().click();
  await page.locator("input[name=struck]").check({ force: true });
  await page.locator("form.entry button.main").click();
  await page.close();
});

test("an own cost takes the place of all that was invented; mended and struck it moves the year", async () => {
  const page = await browser.newPage({ ...small, javaScriptEnabled: false });
  await enter(page, "cost", { cost_for: "feed", cost: "612.50", pond: "willow", how_much: "35 bags", to_whom: "the mill" });
  assert.match(page.url(), /\/books\?year=/);
  assert.doesNotMatch(await page.locator(".answer").innerText(), /invented/);
  assert.match(await page.locator("h1").innerText(), /has cost \$61[23] so far/);
  await shot(page, "books-first-own");
  await enter(page, "gear_bought", { thing: "pump", cost: "1,150", salvage: "150", life: "8", tied_up: "6" });
  assert.match(await page.locator("main").innerText(), /What lasts, less its wear/);
  await enter(page, "budget", { account: "feed", meant: "500" });
  const feed = page.locator("#h-meant ~ .wide tbody tr", { hasText: "Feed" }).first();
  assert.deepEqual((await feed.locator("td").allInnerTexts()).map((text) => text.trim()).slice(0, 2), ["$500", "$613"]);
  // Mended in the log.
  await page.goto(`${farm}log`);
  await page.locator("li", { hasText: "35 bags" }).locator("a.mend").first().click();
  await page.locator("#e-cost").fill("500");
  await page.locator("form.entry button.main").click();
  assert.match(await page.locator("h1").innerText(), /has cost \$500 so far/);
  await page.goto(`${farm}log`);
  await page.locator("li", { hasText: "35 bags" }).locator("a.mend").first().click();
  await page.locator("input[name=struck]").check({ force: true });
  await page.locator("form.entry button.main").click();
  await page.goto(`${farm}books`);
  assert.match(await page.locator("main").innerText(), /What lasts, less its wear/);
  assert.doesNotMatch(await page.locator("h1").innerText(), /\$500/);
  await page.close();
});

test("what the plan expected when it was accepted stands in the report as it was read then, whatever is recorded that day", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}plan`);
  await page.locator("table", { hasText: "If caught on" }).first().waitFor({ state: "attached", timeout: 60_000 });
  // The first pond's table of worth: its days of catch, and what each likely brings.
  const rows = await page.locator("table").filter({ hasText: "If caught on" }).first().locator("tbody tr").evaluateAll((all) =>
    all.map((row) => [...row.children].map((cell) => cell.textContent.trim())));
  await page.goto(`${farm}plan/accept`);
  // A near day is told with its crew: what stays in the water is no news on the morning of the catch.
  const near = await page.locator(".rehearsed li a").allInnerTexts();
  assert.ok(near.length > 0 && near.every((said) => /likely done by/.test(said)), near.join("\n"));
  assert.ok(near.some((said) => said.includes("stays in the water")));
  await page.locator("form[action$=acceptances] button").click();
  await page.getByText("This plan was accepted on").waitFor();
  const told = async () => {
    await page.goto(`${farm}books/report?year=2011-01-01`);
    return await page.locator("li", { hasText: "The plan then expected" }).allInnerTexts();
  };
  const before = await told();
  assert.equal(before.length, 4);
  const willow = before.find((said) => said.startsWith("Willow"));
  const [, day, worth] = /you accepted (\d+ \w{3}).*then expected (\$[\d,]+) of it/.exec(willow);
  const row = rows.find((cells) => cells[0].replace(/\s+/g, " ").endsWith(day));
  assert.equal(worth, row?.[2], `${willow}\n${JSON.stringify(rows)}`);
  // Something that moves every figure of that morning.
  await page.goto(`${farm}log/new?pond=willow&kind=catch`);
  await page.locator("input[name=caught]").fill("300 lb");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  await page.goto(`${farm}plan`);
  await page.waitForFunction((was) => {
    const cell = [...document.querySelectorAll("table")].find((one) => one.textContent.includes("If caught on"))?.querySelector("tbody td:nth-child(3)");
    return cell && cell.textContent.trim() !== was;
  }, rows[0][2], { timeout: 60_000 });
  assert.deepEqual(await told(), before);
  await context.close();
});
