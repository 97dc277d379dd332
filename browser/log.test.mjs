// The log at the pond: nothing typed is lost and nothing is doubled, with the network cut where it hurts; readable and usable
// without script, in both themes, with wet hands.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import AxeBuilder from "@axe-core/playwright";
import { start, waiting } from "./browser.mjs";

const address = process.env.ADDRESS;
const farm = `${address}/f/hazel-bend/`;
const small = { viewport: { width: 360, height: 740 } };
let browser;

before(async () => { browser = await start(); });
after(async () => await browser?.close());

const ready = (page) => page.locator("[data-outbox][data-ready=yes]").waitFor();
const wayKept = (page) => page.locator('[data-say="way-kept"]:not([hidden])').waitFor();
/** How often a text stands in the log, as a fresh device reads it. */
async function inLog(text) {
  const context = await browser.newContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}log`);
  const count = await page.locator("ol.log .said", { hasText: text }).count();
  await context.close();
  return count;
}

for (const path of ["log", "log/new?pond=willow", "log/new?kind=feed&pond=heron"]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`/${path}, ${colorScheme}: nothing for axe to find, nothing wide, nothing small`, async () => {
      const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
      const page = await context.newPage();
      const wrong = [];
      page.on("console", (message) => { if (message.type() === "error") wrong.push(message.text()); });
      await page.goto(farm + path);
      await ready(page);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      const axe = await new AxeBuilder({ page })
        .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
      assert.deepEqual(axe.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]), []);
      const [inner, outer] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
      assert.ok(inner <= outer, `scrolls sideways: ${inner} > ${outer}`);
      const low = await page.evaluate(() => [...document.querySelectorAll("a:not(.skip), button, summary, select, input:not([type=hidden])")]
        .filter((one) => one.checkVisibility())
        .map((one) => [one.outerHTML, one.getBoundingClientRect().height]).filter(([, high]) => high < 48));
      assert.deepEqual(low, []);
      assert.deepEqual(wrong, []);
      await context.close();
    });
  }
}

test("two taps and a number: the reading stands in the log, and the unit beside it was kept", async () => {
  const page = await browser.newPage(small);
  await page.goto(`${farm}log/new?pond=willow`);
  await ready(page);
  await page.locator("#e-temperature").pressSequentially("61.25");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  await page.locator("ol.log .said", { hasText: "temperature 61.25 F" }).waitFor();
  await page.close();
});

test("without script: what is wrong is said at the field, what was typed stays, a correction keeps the first", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=quarry`);
  await page.fill("#e-temperature", "640");
  await page.getByRole("button", { name: "Keep" }).click();
  assert.equal(await page.inputValue("#e-temperature"), "640");
  assert.match(await page.locator("[role=alert]").textContent(), /cannot be/);
  assert.ok(await page.locator("input[name=pond][value=quarry]").isChecked());
  await page.fill("#e-temperature", "17.35 °C");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  const entry = page.locator("ol.log > li", { hasText: "17.35 °C" });
  await entry.getByRole("link", { name: "Mend" }).click();
  await page.fill("#e-temperature", "17.85 °C");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  const mended = page.locator("ol.log > li", { hasText: "17.85 °C" });
  assert.match(await mended.locator("s").textContent(), /17\.35 °C/);
  await context.close();
});

test("written without signal, the page loaded again, the signal back: there once", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await wayKept(page);
  await context.setOffline(true);
  await page.reload();
  await ready(page);
  await page.goto(`${farm}log/new?pond=heron`);
  await ready(page);
  assert.ok(await page.locator("input[name=pond][value=heron]").isChecked(), "a kept page is for any pond");
  await page.fill("#e-temperature", "62.375");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator("[data-list] li", { hasText: "62.375" }).waitFor();
  await page.reload();
  await page.locator("[data-list] li", { hasText: "62.375" }).waitFor();
  assert.equal(await inLog("62.375 F"), 0);
  await context.setOffline(false);
  // The page sends by itself when the signal is back.
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  assert.equal(await inLog("62.375 F"), 1);
  await page.reload();
  await ready(page);
  assert.equal(await inLog("62.375 F"), 1);
  await context.close();
});

const inView = (one) => one.evaluate((node) => {
  const { top, bottom } = node.getBoundingClientRect();
  return top >= 0 && bottom <= innerHeight;
});

test("what became of an entry is said where the hand is, and goes on being true", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await wayKept(page);
  await context.setOffline(true);
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator('[data-say="nothing"]:not([hidden])').waitFor();
  await page.fill("#e-temperature", "62.625");
  await page.getByRole("button", { name: "Keep" }).click();
  const kept = page.locator('[data-say="kept"]:not([hidden])');
  await kept.waitFor();
  assert.ok(await inView(kept), "seen without looking for it");
  await page.getByRole("button", { name: "Send now" }).click();
  await page.locator('[data-say="unsent"]:not([hidden])').waitFor();
  await page.goto(`${farm}`);
  await page.getByRole("heading", { name: "Out of reach" }).waitFor();
  await page.locator("[data-list] li", { hasText: "62.625" }).waitFor();
  await page.getByRole("link", { name: "Write an entry" }).click();
  await ready(page);
  await page.fill("#e-temperature", "62.875");
  await page.getByRole("button", { name: "Keep" }).click();
  // No pond was tapped on the way here: the form asks, and does not guess.
  assert.equal(await page.locator("input[name=pond]:checked").count(), 0);
  assert.ok(await page.locator("input[name=pond]").first().evaluate((one) => one.validity.valueMissing));
  assert.equal(await kept.count(), 0);
  await page.locator("input[name=pond][value=willow]").check();
  await page.getByRole("button", { name: "Keep" }).click();
  await kept.waitFor();
  await page.fill("#e-oxygen", "5");
  await context.setOffline(false);
  await page.locator('[data-say="sent"]:not([hidden])').waitFor();
  assert.equal(await kept.count(), 0);
  assert.equal(await page.locator('[data-say="age"]:not([hidden]), [data-say="unsent"]:not([hidden])').count(), 0);
  assert.equal(await page.inputValue("#e-oxygen"), "5", "what is being typed stays");
  assert.equal(await inLog("62.875 F"), 1);
  await context.close();
});

test("a log that was opened without signal shows what the farm has once it is back", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await wayKept(page);
  await context.setOffline(true);
  await page.fill("#e-temperature", "61.875");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator('[data-say="kept"]:not([hidden])').waitFor();
  await page.goto(`${farm}log`);
  await page.locator('[data-say="age"]:not([hidden])').waitFor();
  assert.match(await page.locator('[data-say="age"]').textContent(), /as it was on [A-Z][a-z]{2} +\d+ [A-Z][a-z]{2} \d{4}, [0-9:]+ [ap]\.m\.$/);
  await context.setOffline(false);
  await page.locator("ol.log .said", { hasText: "61.875 F" }).waitFor();
  await context.close();
});

test("over a plain address a link without signal is not followed, so that the page is not lost", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  // A phone reaches the farm by another name than this machine's own: no secure context.
  await context.addInitScript(() => Object.defineProperty(window, "isSecureContext", { value: false }));
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await page.locator('[data-say="way-open"]:not([hidden])').waitFor();
  await context.setOffline(true);
  await page.getByRole("link", { name: "Feed", exact: true }).click();
  const stay = page.locator('[data-say="stay"]:not([hidden])');
  await stay.waitFor();
  assert.ok(await inView(stay), "seen without looking for it");
  assert.equal(page.url(), `${farm}log/new?pond=willow`);
  await context.setOffline(false);
  await page.getByRole("link", { name: "Feed", exact: true }).click();
  await page.waitForURL(`${farm}log/new?kind=feed&pond=willow`);
  // The morning too stays open.
  await page.goto(farm);
  await page.locator("body[data-fresh=yes]").waitFor();
  await context.setOffline(true);
  await page.getByRole("link", { name: "Log a reading" }).first().click();
  assert.ok(await page.locator("[data-stay]:not([hidden])").waitFor().then(() => inView(page.locator("[data-stay]"))));
  assert.equal(page.url(), farm);
  await context.close();
});

test("the answer is lost after the farm has the entry: sent again, there once", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await ready(page);
  let lost = 0;
  await page.route("**/sync", async (route) => {
    const answer = await route.fetch();
    assert.equal(answer.status(), 200);
    if (route.request().postDataJSON().facts.length > 0 && lost < 2) {
      lost += 1;
      await route.abort("connectionreset");
    } else {
      await route.fulfill({ response: answer });
    }
  });
  await page.fill("#e-temperature", "63.125");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator("[data-list] li", { hasText: "63.125" }).waitFor();
  assert.equal(await inLog("63.125 F"), 1, "the farm has it, the phone does not know");
  await page.getByRole("button", { name: "Send now" }).click();
  await page.waitForFunction(() => !document.querySelector('[data-say="waits"]').hidden);
  await page.reload();
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  assert.equal(lost, 2);
  assert.equal(await inLog("63.125 F"), 1);
  await context.close();
});

test("the same mark with other words is put before a person, on the phone and in the log", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await ready(page);
  await page.route("**/sync", async (route) => {
    const body = route.request().postDataJSON();
    if (body.facts.length > 0) {
      const first = structuredClone(body);
      first.facts[0].typed.temperature = "60.5 F";
      await route.fetch({ postData: JSON.stringify(first) });
    }
    await route.continue();
  });
  await page.fill("#e-temperature", "50.5");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator('[data-state="differs"]:not([hidden])').waitFor();
  await page.locator('[data-say="look"]:not([hidden])').waitFor();
  // The next entry is no part of it, and is not said to be.
  await page.unroute("**/sync");
  await page.fill("#e-temperature", "50.625");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  assert.equal(await inLog("60.5 F"), 1);
  assert.equal(await inLog("50.5 F"), 0);
  await page.goto(`${farm}log`);
  await page.getByText("Sent twice, with different words").waitFor();
  await page.getByRole("button", { name: "I have seen to it" }).click();
  await page.waitForURL(`${farm}log`);
  assert.equal(await page.getByText("Sent twice, with different words").count(), 0);
  await context.close();
});

test("a record under a new epoch is offered again what was acknowledged", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await ready(page);
  await page.fill("#e-temperature", "64.875");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  // What the page asks of itself on opening has been answered: only the next page hears the other epoch.
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  await ready(page);
  await page.waitForLoadState("networkidle");
  const offered = [];
  await page.route("**/sync", async (route) => {
    offered.push(...route.request().postDataJSON().facts.map((fact) => fact.typed.temperature));
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: { ...await answer.json(), epoch: "another" } });
  });
  await page.reload();
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  await page.waitForFunction(() => document.querySelector("[data-outbox]").dataset.ready === "yes");
  for (let tries = 0; tries < 100 && !offered.includes("64.875 F"); tries += 1) await page.evaluate(() => new Promise(requestAnimationFrame));
  assert.deepEqual(offered, ["64.875 F"]);
  assert.equal(await inLog("64.875 F"), 1);
  await context.close();
});

/** Answers as the farm does, but under another epoch; says which temperatures were sent. */
async function underAnotherEpoch(page) {
  const offered = [];
  await page.route("**/sync", async (route) => {
    offered.push(...route.request().postDataJSON().facts.map((fact) => fact.typed.temperature));
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: { ...await answer.json(), epoch: "another" } });
  });
  return offered;
}
const until = async (holds) => {
  for (let tries = 0; tries < 200 && !holds(); tries += 1) await new Promise((resolve) => { setTimeout(resolve, 25); });
};

test("a phone whose clock is set forty days ahead forgets nothing that the farm may yet lack", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=willow`);
  await ready(page);
  await page.fill("#e-temperature", "64.125");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  const ahead = await context.newPage();
  await ahead.clock.setFixedTime(new Date(Date.now() + 40 * 24 * 3600 * 1000));
  await ahead.goto(`${farm}log`);
  await ready(ahead);
  await ahead.locator('[data-say="none"]:not([hidden])').waitFor();
  const offered = await underAnotherEpoch(ahead);
  await ahead.reload();
  await ready(ahead);
  await until(() => offered.length > 0);
  assert.deepEqual(offered, ["64.125 F"]);
  await ahead.unrouteAll({ behavior: "ignoreErrors" });
  await context.close();
});

test("of two tabs one hears late of a restore: what the other had sent before it is offered again", async () => {
  const context = await browser.newContext({ ...small, serviceWorkers: "block" });
  const [late, other] = [await context.newPage(), await context.newPage()];
  await other.goto(`${farm}log/new?pond=willow`);
  await ready(other);
  // The late tab asks before the entry is typed, and hears only after the farm has it.
  const offered = [];
  let answerNow;
  const held = new Promise((resolve) => { answerNow = resolve; });
  await late.route("**/sync", async (route) => {
    offered.push(...route.request().postDataJSON().facts.map((fact) => fact.typed.temperature));
    const answer = await route.fetch();
    await held;
    await route.fulfill({ response: answer, json: { ...await answer.json(), epoch: "another" } });
  });
  const asked = late.waitForRequest("**/sync");
  await late.goto(`${farm}log`);
  await asked;
  await other.fill("#e-temperature", "64.625");
  await other.getByRole("button", { name: "Keep" }).click();
  await other.waitForURL(`${farm}log`);
  assert.equal(await inLog("64.625 F"), 1);
  assert.deepEqual(offered, []);
  const offeredByOther = await underAnotherEpoch(other);
  answerNow();
  await until(() => offered.length > 0);
  // Answered as well: until then the other tab rightly offers it too.
  for (let tries = 0; tries < 200 && await waiting(late) > 0; tries += 1) await late.waitForTimeout(25);
  await other.reload();
  await ready(other);
  assert.deepEqual([...offered, ...offeredByOther], ["64.625 F"]);
  assert.equal(await inLog("64.625 F"), 1);
  await Promise.all([late, other].map((page) => page.unrouteAll({ behavior: "ignoreErrors" })));
  await context.close();
});

test("over a plain address the page says that it must stay open, and keeps entries until the signal is back", async () => {
  const plain = await start(["--host-resolver-rules=MAP farm.test 127.0.0.1"]);
  const context = await plain.newContext(small);
  const page = await context.newPage();
  // From elsewhere a phone is let in first, by a number that the owner's page shows.
  const owner = await plain.newPage();
  await owner.goto(`${farm}people`);
  await owner.fill("#name", "Lou");
  await owner.getByRole("button", { name: "Add, and let in a phone" }).click();
  const there = farm.replace("127.0.0.1", "farm.test");
  await page.goto(`${there}enter`);
  await page.fill("#code", await owner.locator(".code").textContent());
  await page.getByRole("button", { name: "Come in" }).click();
  await page.waitForURL(there);
  await page.goto(`${there}log/new?pond=willow`);
  await page.locator('[data-say="way-open"]:not([hidden])').waitFor();
  assert.equal(await page.evaluate(() => isSecureContext), false);
  await context.setOffline(true);
  await page.fill("#e-temperature", "58.125");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.locator("[data-list] li", { hasText: "58.125 F" }).waitFor();
  assert.equal(await inLog("58.125 F"), 0);
  await context.setOffline(false);
  await page.locator('[data-say="none"]:not([hidden])').waitFor();
  assert.equal(await inLog("58.125 F"), 1);
  await plain.close();
});

test("two devices mend one entry: both stand until a person chooses, then one does", async () => {
  const [one, two] = await Promise.all([1, 2].map(async () => (await browser.newContext({ ...small, javaScriptEnabled: false })).newPage()));
  await one.goto(`${farm}log/new?pond=heron&kind=deaths`);
  await one.fill("#e-deaths", "41");
  await one.getByRole("button", { name: "Keep" }).click();
  await one.waitForURL(`${farm}log`);
  const way = await one.locator("ol.log > li", { hasText: "dead seen 41" }).getByRole("link", { name: "Mend" }).getAttribute("href");
  await one.goto(address + way);
  await two.goto(address + way);
  await one.fill("#e-deaths", "42");
  await two.fill("#e-deaths", "43");
  await one.getByRole("button", { name: "Keep" }).click();
  await one.waitForURL(`${farm}log`);
  await two.getByRole("button", { name: "Keep" }).click();
  await two.waitForURL(`${farm}log`);
  const entry = two.locator("ol.log > li", { hasText: "dead seen 41" });
  assert.equal(await entry.locator(".said").count(), 2);
  await entry.locator(".head", { hasText: "dead seen 43" }).getByRole("button", { name: "This one holds" }).click();
  await two.waitForURL(`${farm}log`);
  assert.deepEqual(await entry.locator(".said").allTextContents(), ["Heron, dead seen 43"]);
  assert.equal(await entry.locator("s").count(), 2, "what fell away can still be read");
  await one.context().close();
  await two.context().close();
});

test("the morning changes with a reading", async () => {
  const page = await browser.newPage(small);
  await page.goto(`${farm}log/new?pond=lower`);
  await ready(page);
  await page.fill("#e-temperature", "59");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  await page.goto(farm);
  // The page fetches itself again while a newer answer is reckoned.
  await page.locator("article#lower b", { hasText: "Read 59" }).waitFor({ timeout: 50_000 });
  await page.close();
});
