// What must hold on every page: no violation of the accessibility rules in either theme and size, no sideways scrolling, drawings
// whole, readable without script, usable by keys, printable, light.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import AxeBuilder from "@axe-core/playwright";
import { start } from "./browser.mjs";

const address = process.env.ADDRESS;
const farm = `${address}/f/hazel-bend/`;
const pages = ["", "winter?pond=quarry", "winter?cash=soup", "ponds/willow", "ponds/lower", "plan", "plan?price=90&lock=heron&lock_on=2011-10-08", "plan?hands=many", "plan/accept",
  "sums", "sums/ice", "sums/ice?catch=600lb&catch_temp=68F&water=75gal&water_temp=60F&on_hand=80lb", "sums/tempering?from=82&to=70F&who=x"];
const sizes = [[360, 740], [1280, 800]];
let browser;

before(async () => {
  browser = await start();
  const page = await browser.newPage();
  await page.goto(farm);
  // The first answer takes a few seconds; the page fetches it by itself.
  await page.locator("article.pond").first().waitFor({ timeout: 120_000 });
  for (const path of pages) {
    await page.goto(farm + path);
    await page.waitForFunction(() => !document.querySelector("meta[http-equiv=refresh]") && !document.body.dataset.again, null, { timeout: 120_000 });
  }
  await page.close();
});
after(async () => await browser?.close());

/** @param {(page: import("playwright-core").Page) => Promise<void>} look */
async function on(path, options, look) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (message) => { if (message.type() === "error") wrong.push(message.text()); });
  page.on("pageerror", (error) => wrong.push(String(error)));
  const response = await page.goto(farm + path);
  assert.equal(response.status(), 200, path);
  await look(page, response);
  assert.deepEqual(wrong, [], `${path}: the console is quiet`);
  await context.close();
}

for (const path of pages) {
  for (const [width, height] of sizes) {
    for (const colorScheme of ["light", "dark"]) {
      test(`/${path} at ${width}, ${colorScheme}`, async () => {
        await on(path, { viewport: { width, height }, colorScheme, reducedMotion: "reduce" }, async (page) => {
          await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
          const axe = await new AxeBuilder({ page })
            .options({ rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } }).analyze();
          assert.deepEqual(axe.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]), []);
          const [inner, outer] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
          assert.ok(inner <= outer, `scrolls sideways: ${inner} > ${outer}`);
          const lost = await page.evaluate(() => [...document.querySelectorAll("svg *")]
            .filter((one) => !["svg", "g"].includes(one.parentElement.tagName)).map((one) => one.outerHTML));
          assert.deepEqual(lost, [], "each shape's parent is svg or g");
        });
      });
    }
  }
}

test("no page speaks to its reader in names of files or of inputs", async () => {
  for (const path of ["", "ponds/heron", "ponds/willow", "plan", "plan/accept", "setup", "setup/place", "setup/memory", "log", "log/new", "people", "files", "called-and-came", "seasons", "winter"]) {
    await on(path, { javaScriptEnabled: false }, async (page) => {
      const text = await page.evaluate(() => [...document.querySelectorAll("main, body > *")].map((one) => one.textContent).join(" "));
      assert.deepEqual(text.match(/\b[a-z]+_[a-z_]+\b|\bdocs\/\S+|\S+\.md\b/g) ?? [], [], path);
    });
  }
});

test("every link leads somewhere", async () => {
  const followed = new Set();
  for (const path of ["", "ponds/quarry", "plan", "plan/accept", "log", "log/new?pond=willow", "sums", "sums/ammonia", "seasons", "winter"]) {
    await on(path, {}, async (page) => {
      const links = await page.$$eval("a[href]", (all) => [...new Set(all.map((one) => one.href.split("#")[0]))]);
      // What stands on every page is followed once.
      for (const link of links.filter((one) => !followed.has(one))) {
        assert.ok((await page.request.get(link)).ok(), `${path}: ${link}`);
        followed.add(link);
      }
    });
  }
});

test("targets are big enough for wet hands", async () => {
  for (const path of ["", "plan", "ponds/heron", "sums", "sums/carrying"]) {
    await on(path, { viewport: { width: 360, height: 740 } }, async (page) => {
      const small = await page.evaluate(() => [...document.querySelectorAll("a:not(.skip), button, summary, select, input")]
        .filter((one) => one.checkVisibility()).map((one) => [one.textContent.trim() || one.id, one.getBoundingClientRect().height]).filter(([, high]) => high < 48));
      assert.deepEqual(small, []);
    });
  }
});

test("drawn words do not overlap", async () => {
  for (const path of ["", "plan", "ponds/willow", "ponds/quarry", "ponds/lower", "ponds/heron"]) {
    await on(path, { viewport: { width: 360, height: 740 } }, async (page) => {
      const over = await page.evaluate(() => {
        const found = [];
        for (const svg of document.querySelectorAll("svg")) {
          const frame = svg.getBoundingClientRect();
          const words = [...svg.querySelectorAll("text")].map((one) => [one.textContent, one.getBoundingClientRect()]);
          words.forEach(([said, a], at) => {
            if (a.left < frame.left - 1 || a.right > frame.right + 1) found.push(`${said} leaves its drawing`);
            for (const [other, b] of words.slice(at + 1)) {
              const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
              const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
              if (across > 0.5 && down > 3) found.push(`${said} on ${other}`);
            }
          });
        }
        return found;
      });
      assert.deepEqual(over, []);
    });
  }
});

test("without script every figure can be read", async () => {
  await on("", { javaScriptEnabled: false, viewport: { width: 360, height: 740 } }, async (page) => {
    assert.equal(await page.locator("article.pond").count(), 4);
    await page.locator("figure.dawns summary").first().click();
    assert.ok(await page.locator("figure.dawns details table").first().isVisible());
    await page.locator("nav.ways a", { hasText: "Harvest plan" }).click();
    await page.fill("#q-price", "80");
    await page.locator(".what-if button").click();
    await page.locator(".against table").waitFor({ timeout: 60_000 });
    assert.equal(await page.inputValue("#q-price"), "80", "what was typed is still there");
  });
});

test("keys alone lead everywhere, and the focus is seen", async () => {
  await on("", { viewport: { width: 360, height: 740 } }, async (page) => {
    await page.keyboard.press("Tab");
    assert.match(await page.evaluate(() => document.activeElement.className), /skip/);
    const reached = new Set();
    for (let at = 0; at < 60; at += 1) {
      await page.keyboard.press("Tab");
      const [name, outline] = await page.evaluate(() => {
        const one = document.activeElement;
        return [one.getAttribute("href") ?? one.tagName, getComputedStyle(one).outlineStyle];
      });
      if (name === "BODY") break;
      assert.notEqual(outline, "none", `${name} shows its focus`);
      reached.add(name);
    }
    for (const want of ["/f/hazel-bend/plan", "/f/hazel-bend/log/new?pond=willow", "SUMMARY"]) {
      assert.ok(reached.has(want), `${want} is reached: ${[...reached]}`);
    }
  });
});

test("what is pressed on the morning and the plan says by its name where it leads", async () => {
  await on("", {}, async (page) => {
    const names = await page.evaluate(() => [...document.querySelectorAll("main a, main summary")]
      .map((one) => one.getAttribute("aria-label") ?? one.textContent.trim()).filter((name) => /^(Log a reading|These figures)/.test(name)));
    assert.ok(names.length >= 8, String(names.length));
    assert.equal(new Set(names).size, names.length, names.join("; "));
    await page.getByRole("link", { name: "Pages", exact: true }).click();
    assert.equal(await page.evaluate(() => document.querySelector("nav.ways").getBoundingClientRect().bottom <= innerHeight), true);
  });
  await on("plan", {}, async (page) => {
    const names = await page.evaluate(() => [...document.querySelectorAll(".what-if select")].map((one) => one.getAttribute("aria-label") ?? one.labels[0].firstChild.textContent));
    assert.equal(new Set(names).size, names.length, names.join("; "));
    assert.equal(await page.locator(".what-if option", { hasText: /^$/ }).count(), 0, "every choice has words");
  });
});

test("a day on which a pond cannot be caught is answered with what stands in its way", async () => {
  await on("plan?lock=willow&lock_on=2011-10-05", {}, async (page) => {
    await page.locator(".against table").waitFor();
    assert.match(await page.locator(".against .trouble").textContent(), /Willow cannot come out .* what stands in its way is /);
  });
});

test("the morning prints on paper", async () => {
  await on("", {}, async (page) => {
    const pdf = await page.pdf({ format: "A4" });
    assert.ok(pdf.length > 10_000);
    const count = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
    assert.ok(count <= 3, `${count} sheets`);
    await page.emulateMedia({ media: "print" });
    // A pond is not cut in two by the edge of a sheet, and nothing is printed that is there to be pressed.
    assert.equal(await page.evaluate(() => getComputedStyle(document.querySelector("article.pond")).breakInside), "avoid");
    assert.equal(await page.getByText("These figures as a table").first().isVisible(), false);
    assert.equal(await page.getByText("Hours in hand").first().isVisible(), true);
    assert.equal(await page.locator("nav.ways").isVisible(), false);
    assert.equal(await page.locator("svg.section").first().isVisible(), true);
  });
});

test("the first page is light, named by content, and guarded", async () => {
  const head = { headers: { "accept-encoding": "gzip" } };
  const page = await browser.newPage();
  let weight = 0;
  page.on("response", async (response) => {
    const sizes = await response.request().sizes();
    weight += sizes.responseBodySize;
  });
  await page.goto(farm, { waitUntil: "networkidle" });
  await page.close();
  console.log(`first page: ${(weight / 1000).toFixed(1)} kB sent`);
  assert.ok(weight > 1000 && weight < 60_000, `${weight} bytes`);

  const first = await fetch(farm, head);
  assert.match(first.headers.get("content-security-policy"), /default-src 'none'/);
  assert.doesNotMatch(first.headers.get("content-security-policy"), /unsafe/);
  assert.doesNotMatch(await first.text(), /<script(?![^>]*src=)|\sstyle=|\son\w+=/i);
  const again = await fetch(farm, { headers: { "if-none-match": first.headers.get("etag") } });
  assert.ok([200, 304].includes(again.status));
  const foreign = await fetch(`${farm}plan`, { method: "POST", headers: { origin: "http://elsewhere.example" } });
  assert.equal(foreign.status, 403);
});

test("a plan is accepted in a second step, once, and only as it was read", async () => {
  await on("plan/accept", { javaScriptEnabled: false }, async (page) => {
    const id = await page.inputValue("input[name=id]");
    const refused = await page.request.post(`${farm}plan/acceptances`, {
      form: { id, plan: "0000000000000000" }, headers: { "sec-fetch-site": "same-origin" },
    });
    assert.match(await refused.text(), /nothing was accepted/);
    assert.equal(await page.locator("button", { hasText: "Accept this plan" }).count(), 1);
    await page.locator("button", { hasText: "Accept this plan" }).click();
    await page.getByText("This plan was accepted on").waitFor();
    assert.equal(await page.locator("button", { hasText: "Accept this plan" }).count(), 0);
    await page.reload();
    await page.getByText("This plan was accepted on").waitFor();
  });
});

test("a sum is worked out without script, and what was typed stands there", async () => {
  await on("sums", { javaScriptEnabled: false, viewport: { width: 360, height: 740 } }, async (page) => {
    await page.getByRole("link", { name: "How much of the ammonia is the kind that poisons?" }).click();
    await page.getByLabel("How much total ammonia, as nitrogen?").fill("1.0");
    await page.getByLabel("How warm is the water?").fill("24");
    await page.getByLabel("What is the pH?").fill("8");
    await page.getByRole("button", { name: "Work it out" }).click();
    // A number without a unit is asked about beside its field; nothing typed is lost.
    const warm = page.getByLabel("How warm is the water?");
    assert.equal(await warm.getAttribute("aria-invalid"), "true");
    assert.match(await page.getByRole("alert").innerText(), /“24” has no unit/);
    assert.equal(await page.getByLabel("What is the pH?").inputValue(), "8");
    await warm.fill("24 C");
    await page.getByRole("button", { name: "Work it out" }).click();
    // University of Florida's table: 0.0502 of the total at 24 °C and pH 8.0.
    assert.match(await page.locator(".worked.first").innerText(), /0\.0502 mg\/L/);
    assert.match(await page.getByRole("status").innerText(), /un-ionized/);
    await page.getByText("How it is worked out").click();
    assert.match(await page.locator(".working").innerText(), /pKa = 0\.09018[\s\S]*5\.02 %[\s\S]*Emerson/);
    await page.getByRole("link", { name: "All sums" }).click();
    await page.getByRole("link", { name: "Is this live load safe?" }).click();
    await page.getByRole("link", { name: "Fill in an example" }).click();
    assert.match(await page.locator(".worked.first").innerText(), /50\.0 g\/L/);
  });
});
