// What is in a pond, and a sample typed with wet hands: by small boxes, many at once, by form; kept, told, mended, and sent from a phone.
// Its own record, because entries move the plan that other suites look at.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const small = { viewport: { width: 360, height: 740 } };
let browser, farm;
suite("stock", async (own) => {
  ({ browser, farm } = own);
  const page = await browser.newPage();
  await page.goto(farm);
  await page.locator("article.pond").first().waitFor({ timeout: 180_000 });
  await page.close();
});

async function bare(options, look) {
  const context = await browser.newContext({ ...small, ...options });
  await look(await context.newPage());
  await context.close();
}

test("the pond's page says what is in it with bands, by size and by form, and what weights do not tell", async () => {
  await bare({ javaScriptEnabled: false }, async (page) => {
    await page.goto(`${farm}ponds/heron`);
    const said = await page.locator("section[aria-labelledby=h-stock]").innerText();
    assert.match(said, /From 2 samples weighed/);
    assert.match(said, /Weights tell how heavy they are, not how many there are/);
    assert.match(said, /Alive\s+[\d,]+ \([\d,]+ to [\d,]+\)/);
    assert.match(said, /expected \d+ to \d+ g/);
    assert.match(said, /Males, orange claw\s+\d+ \(\d+ to \d+\)/);
  });
});

test("weights in small boxes without script are one sample: its mean, interval, sizes, and how many more", async () => {
  await bare({ javaScriptEnabled: false }, async (page) => {
    await page.goto(`${farm}log/new?pond=willow&kind=sample`);
    await page.locator("label.chip", { hasText: "Cast net" }).click();
    const boxes = page.locator("fieldset.each input");
    for (const [at, weight] of ["21", "24.5", "33", "40"].entries()) await boxes.nth(at).fill(weight);
    await page.locator("textarea[name=weights]").fill("28 31\n35.5");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.waitForURL(/\/ponds\/willow\/samples$/);
    const said = await page.locator("article.samples").innerText();
    assert.match(said, /7 animals, mean 30\.4 g: between 24\.4 and 36\.4 g, 95 times in 100/);
    assert.match(said, /coefficient of variation/);
    assert.match(said, /For the mean within 10 % either way weigh 11 more, 18 in all/);
    assert.match(said, /Cast net: it takes what is active/);
    assert.match(said, /As weighed, by size/);
    await page.getByLabel("How near should the mean be?").selectOption("5");
    await page.getByRole("button", { name: "Show" }).click();
    await page.waitForURL(/within=5/);
    assert.match(await page.locator("article.samples").innerText(), /within 5 % either way weigh 64 more, 71 in all/);
  });
});

test("an impossible weight is named with its box open, and all that was typed stands again", async () => {
  await bare({ javaScriptEnabled: false }, async (page) => {
    await page.goto(`${farm}log/new?pond=willow&kind=sample`);
    await page.getByText("By sex and form").click();
    await page.locator("#e-orange_claw").fill("40 4400 x");
    await page.locator("#e-berried").fill("33");
    await page.getByRole("button", { name: "Keep" }).click();
    const said = await page.locator("[role=alert]").first().innerText();
    assert.match(said, /x/);
    assert.equal(await page.locator("#e-orange_claw").inputValue(), "40 4400 x");
    assert.ok(await page.locator("#e-berried").isVisible(), "the boxes by form stand open");
  });
});

test("a sample by form and one by bucketfuls, mended afterwards", async () => {
  await bare({}, async (page) => {
    await page.goto(`${farm}log/new?pond=quarry&kind=sample`);
    await page.locator("label.chip", { hasText: "Seine" }).click();
    await page.getByText("By sex and form").click();
    await page.locator("#e-orange_claw").fill("40 44 41");
    await page.locator("#e-virgin").fill("30 31 29 33");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.waitForURL(/\/log$/);
    await page.goto(`${farm}ponds/quarry/samples`);
    assert.match(await page.locator("article.samples").innerText(), /Males: 0 blue claw, 3 orange claw, 0 small\. Females: 4 virgin/);
    await page.locator("a.mend").first().click();
    await page.locator("#e-orange_claw").fill("40 44 g");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.waitForURL(/\/log$/);
    await page.goto(`${farm}ponds/quarry/samples`);
    assert.match(await page.locator("article.samples").innerText(), /2 orange claw/);
  });
});

test("what was left of a feed, and a look that found no dead, move the pond's page", async () => {
  await bare({ javaScriptEnabled: false }, async (page) => {
    await page.goto(`${farm}log/new?pond=lower&kind=feed`);
    await page.locator("#e-feed").fill("20");
    await page.locator("label.chip", { hasText: "Half or more" }).click();
    await page.getByRole("button", { name: "Keep" }).click();
    await page.waitForURL(/\/log$/);
    await page.goto(`${farm}log/new?pond=lower&kind=deaths`);
    await page.locator("#e-deaths").fill("0");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.waitForURL(/\/log$/);
    for (let tries = 0; tries < 60; tries += 1) {
      await page.goto(`${farm}ponds/lower`);
      if (/1 feed looked at/.test(await page.innerText("body"))) break;
      await new Promise((resolve) => { setTimeout(resolve, 1000); });
    }
    assert.match(await page.locator("section[aria-labelledby=h-stock]").innerText(), /1 look for dead, 0 seen; 1 feed looked at/);
  });
});

test("both pages are fit for every eye in both themes, and fit a small phone", async () => {
  for (const colorScheme of ["light", "dark"]) {
    await bare({ colorScheme }, async (page) => {
      for (const path of ["ponds/willow/samples", "log/new?pond=willow&kind=sample", "log/new?pond=willow&kind=feed", "ponds/willow"]) {
        await page.goto(farm + path);
        assert.deepEqual(await axed(page), [], `${colorScheme} ${path}`);
        assert.ok(await tooWide(page) <= 0, `${path} scrolls sideways`);
      }
    });
  }
});
