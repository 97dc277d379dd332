// Postlarvae are ordered, the hatchery moves the day, the delivery is short: what is due, what it costs, the claim's sheet. Crew see no money.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("order", (own) => { ({ browser, farm } = own); });

async function kept(page, fields) {
  for (const [name, value] of Object.entries(fields)) {
    if (name === "said") await page.locator(`label.chip:has(input[name=said][value=${value}])`).click();
    else {
      const field = page.locator(`[name=${name}]`);
      if (!(await field.isVisible())) await page.locator("details summary").click();
      await field.fill(value);
    }
  }
  await page.locator("button.main").click();
}

test("an order goes from asked to confirmed to short, and what that means is told", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}order`);
  assert.equal(await page.locator("h1").innerText(), "No postlarvae are ordered");
  await page.goto(`${farm}log/new?kind=order&ordered=65000&comes=2011-09-20`);
  assert.equal(await page.locator("[name=ordered]").inputValue(), "65000", "what the winter plan knows stands in the form");
  // A day that is none is shown again as it was typed.
  await kept(page, { hatchery: "Reedwater", comes: "20th of March" });
  assert.match(await page.locator("[role=alert]").innerText(), /Nothing is kept yet/);
  assert.equal(await page.locator("[name=comes]").inputValue(), "20th of March");
  await kept(page, { comes: "2011-10-20", per_1000: "40", deposit: "300", claim_hours: "24" });
  await page.waitForURL(`${farm}order`);
  assert.match(await page.locator("h1").innerText(), /^65,000 are asked for Thu 20 Oct: not confirmed$/);
  const agreed = await page.locator("section[aria-labelledby=h-agreed]").innerText();
  assert.match(agreed, /\$40 a thousand, \$2,600 in all/);
  assert.match(agreed, /within 24 hours/);
  // The deposit's usual day lies behind: it is told as past.
  const due = await page.locator("section[aria-labelledby=h-due]").innerText();
  assert.match(due, /21 Aug \(past\)\s+The deposit is due/);
  // The hatchery confirms another day, and fewer.
  await page.getByRole("link", { name: "The hatchery says something new" }).click();
  await kept(page, { comes: "2011-10-27", ordered: "60,000", said: "confirmed" });
  await page.goto(`${farm}order`);
  assert.match(await page.locator("h1").innerText(), /^60,000 come on Thu 27 Oct, in 29 days$/);
  assert.match(await page.locator(".why").innerText(), /7 days later than first agreed \(Thu 20 Oct\); 5,000 fewer than the 65,000 first ordered/);
  if (look) await page.screenshot({ path: join(look, "order.png"), fullPage: true });
  await context.close();
});

test("late, short or not at all: the whole farm, side by side", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  // For the coming spring, after the sample's autumn.
  await page.goto(`${farm}log/new?kind=order&hatchery=Second&ordered=65000&comes=2012-03-20`);
  await page.locator("button.main").click();
  await page.waitForURL(`${farm}order`);
  await page.getByRole("link", { name: /65,000 are asked for Tue 20 Mar/ }).click();
  await page.getByRole("link", { name: "What if it comes late, short, or not at all?" }).click();
  assert.match(await page.locator("h1").innerText(), /A quarter short: about \$[\d,]+ less\. Not at all: about \$[\d,]+ less$/);
  const rows = await page.locator("tbody tr").allInnerTexts();
  assert.equal(rows.length, 8);
  const left = (row) => Number(row.split("\t")[2].replace(/[^0-9-]/g, ""));
  assert.ok(left(rows[6]) < left(rows[5]) && left(rows[7]) === 0, rows.join("\n"));
  assert.match(await page.locator("section[aria-labelledby=h-second]").innerText(), /postlarvae that come by .* 2012, raised 60 days/);
  // Dearer animals: the answer changes, and what was typed stands.
  await page.locator("details.ask summary").click();
  await page.locator("[name=juvenile_cost]").fill("0.40");
  await page.locator("form button.main").click();
  assert.equal(await page.locator("[name=juvenile_cost]").inputValue(), "0.40");
  const dearer = await page.locator("tbody tr").allInnerTexts();
  assert.ok(left(dearer[0]) < left(rows[0]));
  await page.locator("[name=risk]").fill("often");
  await page.locator("form button.main").click();
  assert.match(await page.locator("[role=alert]").innerText(), /./);
  assert.equal(await page.locator("[name=risk]").inputValue(), "often");
  await context.close();
});

test("a short delivery gives a claim's sheet with its hour", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?kind=order&hatchery=Reedwater&ordered=60000&comes=2011-09-27&per_1000=40&claim_hours=24`);
  await page.locator("button.main").click();
  await page.goto(`${farm}log/new?kind=delivery`);
  for (const [name, value] of Object.entries({ claimed: "60,000", counts: "371, 362, 380, 369", sample_weight: "10", all_weight: "1450", dead: "900" })) {
    await page.locator(`[name=${name}]`).fill(value);
  }
  await page.locator("details summary").click();
  await page.locator("#e-when").fill("2011-09-27T15:00");
  await page.locator("button.main").click();
  await page.goto(`${farm}order`);
  await page.getByRole("link", { name: "60,000 came on Tue 27 Sep" }).click();
  await page.getByRole("link", { name: "Claim sheet, to print or send" }).click();
  const text = await page.locator("main").innerText();
  // 370.5 to 10 g of 1,450 g: 53,723, less 900 dead.
  assert.match(text, /7,178 fewer came alive than were paid for/);
  assert.match(text, /At the price agreed the missing are worth \$287/);
  assert.match(text, /It must reach the hatchery by Wed 28 Sep 2011, 3 p\.m\. \(by the terms of the order\)/);
  assert.match(text, /371, 362, 380, 369/);
  if (look) await page.screenshot({ path: join(look, "claim.png"), fullPage: true });
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`the order, ${colorScheme}: nothing for axe to find, nothing wide`, async () => {
    const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    for (const path of ["order", "order/turns", "order/claim", "log/new?kind=order"]) {
      await page.goto(farm + path);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      assert.deepEqual(await axed(page), []);
      assert.ok(await tooWide(page) <= 0, `${path} scrolls sideways`);
      if (look && path === "order/turns") await page.screenshot({ path: join(look, `turns-${colorScheme}.png`), fullPage: true });
    }
    await context.close();
  });
}
