// Oxygen tonight on the morning page and the pond's: what is told with each reading more, what to start by when, and the caution beside it.
// Its own record, because entries move the plan that other suites look at.
import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser, farm;
suite("oxygen", (own) => { ({ browser, farm } = own); });

async function settled(page) {
  await page.locator("article.pond, article.one-pond").first().waitFor({ timeout: 180_000 });
  await page.waitForFunction(() => !document.body.dataset.again, null, { timeout: 180_000 });
}
const row = (page, pond) => page.locator(`article#${pond} dl.rows > div`, { hasText: "Oxygen tonight" });

/** A reading on the farm's own day, by the plain form, without script. */
async function read(pond, time, typed) {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}log/new?pond=${pond}`);
  await page.locator("details summary", { hasText: /\S/ }).last().click();
  const when = await page.inputValue("#e-when");
  await page.fill("#e-when", `${when.slice(0, 10)}T${time}`);
  for (const [name, value] of Object.entries(typed)) await page.fill(`#e-${name}`, value);
  await page.getByRole("button", { name: /Keep/ }).click();
  if (!page.url().endsWith("/log")) await page.getByRole("button", { name: /Keep/ }).click();
  await page.waitForURL(`${farm}log`);
  await context.close();
}

test("unread, then a dawn, then an evening: each says more, and what to do", async () => {
  const page = await browser.newPage(small);
  await page.goto(farm);
  await settled(page);
  assert.match(await row(page, "lower").innerText(), /not known: no dawn was read/);
  await read("lower", "06:10", { oxygen: "3.4" });
  await page.goto(farm);
  await settled(page);
  assert.match(await row(page, "lower").innerText(), /about 3\.4 mg\/L at dawn \(\d\.\d to \d\.\d\); (1 in \d|\d in 10) below 3\./);
  assert.match(await row(page, "lower").innerText(), /Read again at dusk: then this says when to start the paddlewheel/);
  await read("lower", "20:30", { oxygen: "5.2" });
  await page.goto(farm);
  await settled(page);
  const said = await row(page, "lower").innerText();
  assert.match(said, /With the paddlewheel from \d+ [ap]\.m\. (tonight )?about \d\.\d \(\d\.\d to \d\.\d\)\./);
  const first = page.locator("ul.tasks > li").first();
  assert.match(await first.innerText(), /^Start Lower's 2 hp paddlewheel by \d+ [ap]\.m\..*two hours after sunrise/, "what comes first is told first");
  assert.equal(await page.locator("p.care", { hasText: "lock off before anyone touches" }).count(), 1, "the caution stands once");
  await row(page, "lower").locator("summary").first().click();
  const behind = await row(page, "lower").locator(".behind").innerText();
  for (const part of ["this evening: 5.2 mg/L", "last dawn read: 3.4 mg/L", "aerator: 2 hp paddlewheel, 1.5 kg", "No night of this pond could be judged yet"]) {
    assert.ok(behind.includes(part), `${part}: ${behind}`);
  }
  await page.goto(`${farm}ponds/lower`);
  await settled(page);
  assert.match(await page.locator("dl.rows > div", { hasText: "Oxygen tonight" }).innerText(), /With the paddlewheel from/);
  assert.equal(await page.locator("p.care", { hasText: "lock off before" }).count(), 1);
  await page.close();
});

test("ammonia and pH: the morning alone asks for the afternoon, the afternoon tells the danger and what to do", async () => {
  const page = await browser.newPage(small);
  const ammonia = (at) => at.locator("article#heron dl.rows > div", { hasText: "Ammonia, pH" });
  await page.goto(farm);
  await settled(page);
  assert.equal(await ammonia(page).count(), 0, "what was never read is not spoken of");
  await read("heron", "06:30", { ph: "7.9", ammonia: "0.9" });
  await page.goto(farm);
  await settled(page);
  assert.match(await ammonia(page).innerText(), /un-ionized 0\.0\d now, 0\.\d\d mg\/L if pH rises as it may, of 0\.1 borne; pH 7\.9; test again between 3 and 5/);
  assert.equal(await page.locator("ul.tasks > li", { hasText: "un-ionized" }).count(), 0, "a guess raises no alarm");
  await read("heron", "16:00", { ph: "9.1", temperature: "82" });
  await page.goto(farm);
  await settled(page);
  assert.match(await page.locator("ul.tasks > li").first().innerText(), /^Heron: un-ionized ammonia reaches 0\.\d\d mg\/L .*half in six days\. Give no feed today/);
  await page.goto(`${farm}ponds/heron`);
  await settled(page);
  assert.match(await page.locator("p.trouble", { hasText: "un-ionized" }).innerText(), /Test again this afternoon/);
  await page.close();
});

test("work that comes round: one tap enters it, the page says so, and it can be taken back", async () => {
  const page = await browser.newPage(small);
  await page.goto(farm);
  await settled(page);
  const due = page.locator("section.due > ul.due > li");
  assert.equal(await due.count(), 3, "no more than three at once");
  await page.locator("section.due details > summary").click();
  const nets = page.locator("ul.due > li", { hasText: "Look over nets and lines" });
  assert.match(await nets.innerText(), /not entered since stocking/);
  const ponds = await nets.getByRole("button").allInnerTexts();
  await nets.getByRole("button", { name: "Quarry: nets looked over, just now" }).click();
  await page.locator(".just-done", { hasText: "Quarry: nets looked over" }).waitFor();
  if (look) await page.locator("section.due").screenshot({ path: join(look, "done.png") });
  await settled(page);
  await page.locator("section.due details > summary").click();
  assert.deepEqual(await nets.getByRole("button").allInnerTexts(), ponds.filter((name) => name !== "Quarry"));
  // A second tap from another page that was opened before enters nothing twice; taken back, it is due again and stands struck out in the log.
  await page.evaluate(() => {
    const form = document.querySelector("form[action$='/log/done']");
    form.elements.chore.value = "nets";
    form.elements.pond.value = "quarry";
    form.submit();
  });
  await page.locator(".just-done", { hasText: "Quarry: nets looked over" }).waitFor();
  assert.equal(await page.locator(".just-done", { hasText: "Quarry: nets looked over" }).count(), 1);
  await page.getByRole("button", { name: /Quarry: nets looked over.*Take it back/ }).click();
  await page.waitForURL(/#due$/);
  await settled(page);
  assert.equal(await page.locator(".just-done").count(), 0);
  await page.locator("section.due details > summary").click();
  assert.deepEqual(await nets.getByRole("button").allInnerTexts(), ponds);
  await page.goto(`${farm}log`);
  assert.match(await page.locator("ol.log").innerText(), /Struck out/);
  await page.close();
});

test("work that comes round: another time or a note goes by its entry, which the phone keeps", async () => {
  const page = await browser.newPage(small);
  await page.goto(farm);
  await settled(page);
  await page.locator("section.due details > summary").click();
  await page.getByRole("link", { name: /nets and lines.*: Another time, a note, or no signal/ }).click();
  await page.locator("[data-outbox][data-ready=yes]").waitFor();
  assert.ok(await page.locator("input[name=chore][value=nets]").isChecked());
  await page.locator("input[name=pond][value=quarry]").check();
  await page.getByRole("button", { name: "Keep" }).click();
  await page.waitForURL(`${farm}log`);
  await page.locator("ol.log .said", { hasText: /Quarry, nets looked over/ }).first().waitFor();
  await page.close();
});

for (const path of ["", "log/new?kind=chore&pond=heron&chore=mow", "ponds/lower", "ponds/heron"]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`/${path}, ${colorScheme}: nothing for axe to find, nothing wide`, async () => {
      const context = await browser.newContext({ ...small, colorScheme, reducedMotion: "reduce" });
      const page = await context.newPage();
      await page.goto(farm + path);
      if (!path.startsWith("log")) await settled(page);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      assert.deepEqual(await axed(page), []);
      assert.ok(await tooWide(page) <= 0, "scrolls sideways");
      if (process.env.LOOK) await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = false; }));
      if (process.env.LOOK) await page.screenshot({ path: join(process.env.LOOK, `oxygen-${path.replace(/[^a-z]+/g, "-")}-${colorScheme}.png`), fullPage: true });
      await context.close();
    });
  }
}
