// Orders and what buyers are told: a wrong order comes back with all that was typed, what waited on a phone is told, nobody is told what is not so.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, emptied, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("buyers", (own) => { ({ browser, farm } = own); });

/** Types an order into its form; the phone's script runs unless it is left out. */
async function typed(page, fields, query = "") {
  await page.goto(`${farm}log/new?kind=asked${query}`);
  if (await page.evaluate(() => Boolean(document.querySelector("[data-outbox]:not([hidden])")))) await page.locator("[data-ready=yes]").waitFor();
  await page.locator("form.entry details summary").first().click();
  for (const [name, value] of Object.entries(fields)) {
    const radio = page.locator(`input[type=radio][name=${name}][value="${value}"]`);
    if (await radio.count()) await radio.check({ force: true });
    else await page.locator(`[name=${name}]`).first().fill(value);
  }
  await page.locator("form.entry button.main").click();
}

const good = { buyer: "Ada Finch", contact: "555 0171", rank: "ordered", sold_as: "whole", amount: "12.5", price: "$12/lb" };

/** Buyers, once the morning is reckoned. */
async function buyers(page) {
  for (let turn = 0; turn < 90; turn += 1) {
    await page.goto(`${farm}buyers`);
    if (await page.locator("#h-tell").count()) return;
    await page.waitForTimeout(1000);
  }
  assert.fail("no answer");
}

const wrong = [
  ["price", "12", /has no unit/],
  ["price", "€12/lb", /reckons in USD/],
  ["amount", "12,5", /Write 12\.5 if that is meant/],
  ["amount", "-5", /cannot be/],
  ["amount", "0", /cannot be/],
  ["amount", "999999999", /cannot be/],
  ["size", "large", /is not a size/],
  ["buyer", "", /Who buys\? Write it\./],
  ["deposit_asked", "-10", /cannot be|less than nothing/],
  ["deposit_asked", "€50", /reckons in USD/],
];

for (const javaScriptEnabled of [true, false]) {
  test(`a wrong order comes back with what is wrong and all that was typed, ${javaScriptEnabled ? "with" : "without"} script`, async () => {
    const context = await browser.newContext({ ...small, javaScriptEnabled });
    const page = await context.newPage();
    for (const [field, value, said] of wrong) {
      await typed(page, { ...good, [field]: value });
      await page.locator("form.entry .wrong").first().waitFor({ timeout: 8000 });
      assert.match(await page.locator(".trouble[role=alert]").innerText(), said, `${field} ${value}`);
      for (const [name, text] of Object.entries({ ...good, [field]: value })) {
        const radio = page.locator(`input[type=radio][name=${name}]:checked`);
        const now = await radio.count() ? await radio.inputValue() : await page.locator(`[name=${name}]`).first().inputValue();
        assert.equal(now, text, `${field} ${value}: ${name}`);
      }
    }
    if (look && javaScriptEnabled) await page.screenshot({ path: join(look, "order-wrong.png"), fullPage: true });
    // Mended where it stands, it is kept, and one lands where it is looked at.
    await page.locator("[name=deposit_asked]").fill("");
    await page.locator("form.entry button.main").click();
    await page.waitForURL(/\/buyers$/);
    assert.match(await page.locator("#orders").innerText(), /Ada Finch: 12\.50 lb of whole prawns/);
    await context.close();
  });
}

test("an order far out of the usual is asked about once, with script, and then kept", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await typed(page, { ...good, buyer: "Big Order", amount: "1500", rank: "waiting" });
  await page.getByText("Keep it as written").waitFor();
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  assert.match(await page.locator("#orders").innerText(), /Big Order: 1500\.00 lb/);
  await context.close();
});

test("a wrong order that waited on a phone is told on Buyers with the reason", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}log/new?kind=asked`);
  await page.locator("[data-ready=yes]").waitFor();
  await context.setOffline(true);
  for (const [name, value] of Object.entries({ buyer: "Off Line", amount: "12,5" })) await page.locator(`[name=${name}]`).fill(value);
  await page.locator("input[name=sold_as][value=whole]").check({ force: true });
  await page.locator("form.entry button.main").click();
  await page.locator("[data-list] li", { hasText: "Off Line" }).waitFor();
  await context.setOffline(false);
  await emptied(page);
  await buyers(page);
  const said = await page.locator("#unread").innerText();
  assert.match(said, /Off Line/);
  assert.match(said, /Weight: .*Write 12\.5 if that is meant/);
  await page.locator("#unread").getByRole("link", { name: "Mend" }).click();
  await page.locator("[name=amount]").fill("12.5");
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  assert.equal(await page.locator("#unread").count(), 0);
  await context.close();
});

test("who waits takes nothing from what may be promised, and is not told that theirs is ready; a tank too small is told", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await buyers(page);
  const free = () => page.locator("table.blocks", { hasText: "May be promised" }).first().locator("tbody tr").allInnerTexts();
  const before = await free();
  await typed(page, { ...good, buyer: "Wanda Wait", rank: "waiting", amount: "300", price: "$30/lb" });
  await page.waitForURL(/\/buyers$/);
  await typed(page, { ...good, buyer: "Leo Live", sold_as: "live", amount: "100", their_tank: "20", their_tank_temperature: "40" });
  await page.getByText("Keep it as written").waitFor();
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  const leo = await page.locator("#orders li", { hasText: "Leo Live" }).innerText();
  assert.match(leo, /100\.00 lb in 20 gal of water is 599 g a litre/);
  assert.match(leo, /40 °F is too cold/);
  const wanda = await page.locator("#tell li", { hasText: "Wanda Wait" }).locator(".message").first().textContent();
  assert.match(wanda, /on our waiting list for 300\.00 lb of whole prawns/);
  assert.doesNotMatch(wanda, /300\.00 lb of whole prawns are ready/);
  await page.locator("#orders li", { hasText: "Leo Live" }).getByRole("link", { name: "Mend" }).click();
  await page.locator("input[name=struck]").check({ force: true });
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  await buyers(page);
  assert.deepEqual(await free(), before, "the waiting list is served from what is left");
  await context.close();
});

test("the plan is accepted: who takes one day is not told that it moved to another pond's, who cannot leaves the list, who came is asked no more", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}plan/accept`);
  await page.locator("button", { hasText: "Accept this plan" }).click();
  await page.getByText("This plan was accepted on").waitFor();
  await buyers(page);
  const of = (name) => page.locator("#tell > ul > li", { hasText: name });
  const answer = async (name, link) => {
    await of(name).locator("details").first().locator("summary").first().click();
    await of(name).locator("details").first().getByRole("link", { name: link }).click();
    await page.locator("form.entry button.main").click();
    await page.waitForURL(/\/buyers$/);
    await buyers(page);
  };
  assert.equal(await of("Marlow").count(), 1, "one entry for a buyer");
  const first = await of("Ridge").locator("summary").first().innerText();
  await answer("Ridge", "Told: takes it");
  assert.doesNotMatch(await page.locator("#tell").textContent(), /has moved/);
  assert.doesNotMatch(await of("Ridge").locator("summary").allInnerTexts().then((all) => all.join("\n")), new RegExp(first));
  await answer("Marlow", "Told: cannot");
  assert.doesNotMatch(await page.locator("#tell").textContent(), /has moved/);
  await answer("Ada Finch", "Told: takes it");
  await page.goto(`${farm}sale/list`);
  const day = page.locator("section.part").first();
  assert.doesNotMatch(await day.innerText(), /Marlow/);
  assert.match(await day.innerText(), /Ridge Supper Club/);
  await buyers(page);
  await page.locator("#orders li", { hasText: "Ada Finch" }).first().getByRole("link", { name: "Came", exact: true }).click();
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  assert.match(await page.locator("#orders li", { hasText: "Ada Finch" }).first().innerText(), /fetched/);
  await context.close();
});

test("an order for one later day is told of that day; a deposit that does not fit is told", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await buyers(page);
  const on = new URL(await page.locator("#tell a[href*='kind=told']").first().getAttribute("href"), farm).searchParams.get("day");
  const later = new Date(Date.parse(on) + 3 * 86_400_000).toISOString().slice(0, 10);
  await typed(page, { ...good, buyer: "Kim Later", contact: "555 0181", day_from: later, day_until: later, deposit_asked: "50" });
  await page.waitForURL(/\/buyers$/);
  await buyers(page);
  for (const link of await page.locator("#tell > ul > li", { hasText: "Kim Later" }).locator("a[href*='kind=told']").all()) {
    assert.match(await link.getAttribute("href"), new RegExp(`day=${later}`));
  }
  await page.locator("#orders li", { hasText: "Kim Later" }).getByRole("link", { name: "Deposit paid" }).click();
  await page.locator("[name=paid]").fill("60");
  await page.locator("form.entry button.main").click();
  await page.waitForURL(/\/buyers$/);
  assert.match(await page.locator("#orders li", { hasText: "Kim Later" }).innerText(), /\$50\.00 asked, \$60\.00 paid: \$10\.00 more than asked/);
  await context.close();
});

test("an order that lies on ice is served from there, stands on the pick-up list, and asks nothing of the coming catch", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await buyers(page);
  await typed(page, { ...good, buyer: "Iris Ice", contact: "555 0191", amount: "15", deposit_asked: "40" });
  await page.waitForURL(/\/buyers$/);
  await buyers(page);
  const later = () => page.locator("#tell > ul > li", { hasText: "Iris Ice" }).innerText();
  assert.match(await page.locator("main").textContent(), /Iris Ice/);
  await page.goto(`${farm}log/new?kind=basket&pond=willow`);
  await page.locator("details summary").first().click();
  const when = await page.locator("[name=when]").inputValue();
  const yesterday = new Date(Date.parse(`${when}Z`) - 86_400_000).toISOString().slice(0, 16);
  await page.locator("[name=weight]").fill("400");
  await page.locator("input[name=to][value=chill]").check({ force: true });
  await page.locator("[name=when]").fill(yesterday);
  await page.locator("button.main").first().click();
  if (await page.locator("text=Keep it as written").count()) await page.locator("button.main").first().click();
  await buyers(page);
  const weighed = page.locator("#weighed");
  assert.match(await weighed.innerText(), /Caught [\s\S]*Left over: [\d.,]+ lb whole/);
  assert.match(await weighed.locator("tr", { hasText: "Iris Ice" }).innerText(), /15\.00 lb\s+15\.00 lb/);
  const shares = await page.locator("table.blocks", { hasText: "All of it" }).allTextContents();
  assert.ok(shares.every((text) => !text.includes("Iris Ice")), "no coming catch is asked for it again");
  assert.match(await later(), /15\.00 lb of whole prawns/);
  const message = await page.locator("#tell > ul > li", { hasText: "Iris Ice" }).locator(".message").first().textContent();
  assert.match(message, /Your 15\.00 lb of whole prawns are ready on \w{3} \d/);
  assert.doesNotMatch(await page.locator("#tell .message").allTextContents().then((all) => all.join(" ")), /  /, "one space between words");
  if (look) await page.screenshot({ path: join(look, "buyers-ice.png"), fullPage: true });
  await page.goto(`${farm}sale/list`);
  const ice = page.locator("section.part", { hasText: "weighed and in store" });
  const row = ice.locator("tr", { hasText: "Iris Ice" });
  assert.match(await row.innerText(), /nothing of \$40\.00 asked/, "the deposit is not there yet");
  assert.equal(await page.locator("tr", { hasText: "Iris Ice" }).count(), 1, "and on the list once");
  const beyond = await page.evaluate(() => [...document.querySelectorAll("main td, main th")].filter((one) => one.getBoundingClientRect().right > innerWidth && one.closest("tbody")).length);
  assert.equal(beyond, 0, "nothing beyond the edge");
  if (look) await page.screenshot({ path: join(look, "pick-up-ice.png"), fullPage: true });
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`Buyers, ${colorScheme}: nothing cut, nothing wide, nothing for axe to find`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    await buyers(page);
    const text = await page.locator("main").innerText();
    assert.doesNotMatch(text, /tails prawns|of by the piece|a\.m:|p\.m:|`/);
    console.log(`Buyers is ${await page.evaluate(() => document.documentElement.scrollHeight)} px long`);
    if (look) await page.screenshot({ path: join(look, `buyers-closed-${colorScheme}.png`), fullPage: true });
    await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
    const cut = await page.evaluate(() => [...document.querySelectorAll("main td, main th[scope=row]")].filter((one) => one.getBoundingClientRect().right > innerWidth).length);
    assert.equal(cut, 0, "no figure beyond the edge");
    assert.ok(await tooWide(page) <= 0);
    assert.deepEqual(await axed(page), []);
    if (look) await page.screenshot({ path: join(look, `buyers-open-${colorScheme}.png`), fullPage: true });
    await page.goto(`${farm}log/new?kind=asked`);
    assert.equal(await page.locator("input[name=day_from]").getAttribute("type"), "date");
    assert.doesNotMatch(await page.locator("main").innerText(), /`|does not reckon with it/);
    await context.close();
  });
}
