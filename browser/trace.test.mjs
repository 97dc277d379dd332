// A pack, sold, traced both ways in one page from what stands on its label; what is not known says so; papers come as PDF; what falls due and what was lost.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { axed, suite, tooWide } from "./browser.mjs";

const look = process.env.LOOK;
const small = { viewport: { width: 360, height: 740 } };
let browser;
let farm;
suite("trace", (own) => { ({ browser, farm } = own); });

/** Writes an entry through the log's own form; what was typed goes as the form sends it. */
async function enter(page, kind, fields) {
  await page.goto(`${farm}log/new?kind=${kind}`);
  return page.evaluate(async ([kind, fields]) => {
    const form = document.querySelector("form.entry");
    const body = new URLSearchParams(new FormData(form));
    body.set("kind", kind);
    for (const [name, text] of Object.entries(fields)) {
      body.delete(`unit-${name}`);
      body.set(name, text);
    }
    const answer = await fetch(form.action, { method: "POST", body });
    if (!answer.ok || answer.url.includes("/log/new")) throw new Error(`${kind}: ${(await answer.text()).replace(/<[^>]+>/g, " ").slice(0, 900)}`);
    return answer.url;
  }, [kind, fields]);
}

/** The farm's day, as its pages have it. */
async function today(page) {
  await page.goto(`${farm}harvest/labels?pond=quarry&tub=B`);
  return page.locator("#q-day").inputValue();
}

const text = async (page) => (await page.locator("article").innerText()).replace(/\s+/g, " ");
let lot;
let day;

test("a pack, sold, is traced both ways from its lot or from what a reader gives", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  day = await today(page);
  lot = `QUARRY-${day.replaceAll("-", "").slice(2)}-B`;
  await enter(page, "treatment", { pond: "quarry", product: "hydrated lime", dose: "50 lb", wait: "0 d" });
  await enter(page, "basket", { pond: "quarry", weight: "22 lb", to: "chill", tub: "B" });
  const url = await enter(page, "pack", { lot, pack_form: "tails", packs: "4", net: "2 lb", kept_at: "cold store" });
  assert.ok(url.includes("/trace?lot="), url);
  await enter(page, "sale", { table: "bank", sold_as: "tails", amount: "2 lb", price: "12 USD per lb", buyer: "Nine Oaks", lot });
  await enter(page, "sale", { table: "bank", sold_as: "tails", amount: "1 lb", price: "12 USD per lb", lot });
  for (const asked of [lot.toLowerCase(), `]C110${lot}`, `(13)${day.replaceAll("-", "").slice(2)}(10)${lot}`]) {
    await page.goto(`${farm}trace`);
    await page.locator("#q-lot").fill(asked);
    await page.getByRole("button", { name: "Trace it" }).click();
    const said = await text(page);
    for (const meant of [`${lot}: Quarry, caught`, "22.0 lb in one basket", "Stocked", "hydrated lime", "Nine Oaks", "one line without a name, 1.0 lb",
      "Packed 8.0 lb, sold 3.0 lb"]) {
      assert.ok(said.includes(meant), `${meant} after ${asked}: ${said}`);
    }
  }
  assert.deepEqual(await axed(page), []);
  assert.ok(await tooWide(page) <= 0, "no wider than the phone");
  const beyond = () => page.evaluate(() => [...document.querySelectorAll("main tbody td, main tbody th")].filter((one) => one.getBoundingClientRect().right > innerWidth).map((one) => one.textContent));
  assert.deepEqual(await beyond(), [], "no figure beyond the edge");
  if (look) await page.screenshot({ path: join(look, "trace.png"), fullPage: true });
  // Another tub: what was thrown away is no part of it, and of what nobody bought nothing is sold.
  const other = lot.replace(/B$/, "C");
  await enter(page, "basket", { pond: "quarry", weight: "10 lb", to: "chill", tub: "C" });
  await enter(page, "basket", { pond: "quarry", weight: "3 lb", to: "dead", tub: "C" });
  await enter(page, "pack", { lot: other, pack_form: "tails", packs: "1", net: "2 lb", kept_at: "cold store" });
  await page.goto(`${farm}trace?lot=${other}`);
  const of_other = await text(page);
  assert.ok(of_other.includes("10.0 lb, and 3.0 lb thrown away in 2 baskets"), of_other);
  assert.ok(of_other.includes("sold 0.0 lb by weight") && !of_other.includes("-0.0"), of_other);
  // Every way on the page leads somewhere.
  const recall = await page.request.get(`${farm}trace/recall.pdf?lot=${lot}`);
  assert.equal(recall.headers()["content-type"], "application/pdf");
  const events = await (await page.request.get(`${farm}trace/epcis.jsonld?lot=${lot}&item=4006381333931`)).json();
  const steps = events.epcisBody.eventList.map((event) => event.bizStep);
  assert.ok(steps.includes("packing") && steps.filter((step) => step === "retail_selling").length === 2, steps.join());
  await context.close();
});

test("a lot that nobody wrote down says so and what is near", async () => {
  const context = await browser.newContext({ ...small, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${farm}trace?lot=${lot.replace("QUARRY", "QUARY")}`);
  assert.ok((await page.locator("h1").innerText()).includes("is not written down"));
  await page.getByRole("link", { name: lot, exact: true }).click();
  assert.ok((await page.locator("h1").innerText()).startsWith(lot), "the near one leads there, without script");
  await page.goto(`${farm}trace?lot=XXXXXXXXXXXX`);
  assert.ok((await text(page)).includes("No lot that is written down looks like it."));
  await context.close();
});

test("waiting days that reach into the planned catch are told in the morning", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(farm);
  await page.locator("div.ponds").waitFor();
  assert.equal(await page.locator("p.trouble", { hasText: "wants nothing caught" }).count(), 0);
  for (const pond of ["willow", "quarry", "lower", "heron"]) await enter(page, "treatment", { pond, product: "a new one", wait: "60 d" });
  await page.goto(farm);
  await page.locator("p.trouble", { hasText: "a new one" }).first().waitFor();
  await page.goto(`${farm}day/quarry`);
  await page.locator("p.trouble", { hasText: "wants nothing caught to eat before" }).waitFor({ timeout: 90_000 });
  await context.close();
});

test("what falls due is listed, near ones stand in the owner's morning, all in a calendar", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await page.goto(`${farm}due`);
  assert.ok((await page.locator("h1").innerText()).includes("Nothing is written down"));
  const soon = new Date(Date.parse(day) + 5 * 86_400_000).toISOString().slice(0, 10);
  await enter(page, "due", { due_kind: "scale inspection", due_name: "Form 12", due_on: soon, again: "year", office: "weights office, 555 0100" });
  await page.goto(`${farm}due`);
  assert.ok((await page.locator("h1").innerText()).includes("Scale inspection: Form 12"));
  assert.deepEqual(await axed(page), []);
  assert.ok(await tooWide(page) <= 0);
  if (look) await page.screenshot({ path: join(look, "due.png"), fullPage: true });
  const calendar = await (await page.request.get(`${farm}due/calendar.ics`)).text();
  assert.ok(calendar.includes(`DTSTART;VALUE=DATE:${soon.replaceAll("-", "")}`) && calendar.includes("RRULE:FREQ=YEARLY"), calendar);
  await page.goto(farm);
  await page.locator(".due-near", { hasText: "weights office, 555 0100" }).waitFor();
  if (look) await page.screenshot({ path: join(look, "due-morning.png") });
  // Done moves it a year on: it is no longer near.
  await page.goto(`${farm}due`);
  await page.getByRole("link", { name: "It was done, or is another day" }).click();
  await page.locator("#e-done_on").fill(soon);
  await page.getByRole("button", { name: "Keep" }).first().click();
  // The phone keeps it first and sends it then; its page goes on by itself.
  await page.waitForURL((url) => !url.pathname.endsWith("/mend"));
  for (let turn = 0; turn < 40; turn += 1) {
    await page.goto(`${farm}due`);
    if ((await text(page)).includes("done last")) break;
    await page.waitForTimeout(250);
  }
  assert.ok((await text(page)).includes("done last"), await text(page));
  await page.goto(farm);
  assert.equal(await page.locator(".due-near").count(), 0);
  await context.close();
});

test("a loss brings its days together, to print and as open files", async () => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  await enter(page, "reading", { pond: "heron", temperature: "58 F", oxygen: "1.9" });
  await enter(page, "deaths", { pond: "heron", deaths: "340" });
  await enter(page, "loss", { pond: "heron", cause: "low oxygen", began: day, lost_weight: "40 lb", worth: "500", text: "aerator stopped at 3" });
  await page.goto(`${farm}losses`);
  await page.getByRole("link", { name: /Heron: low oxygen/ }).click();
  const said = await text(page);
  for (const meant of ["40.0 lb", "aerator stopped at 3", "$500", "340", "Read oxygen at dawn"]) assert.ok(said.includes(meant), `${meant}: ${said}`);
  assert.deepEqual(await axed(page), []);
  assert.ok(await tooWide(page) <= 0);
  if (look) await page.screenshot({ path: join(look, "loss.png"), fullPage: true });
  const zip = await (await page.request.get(`${page.url()}/loss.zip`)).body();
  assert.equal(zip.subarray(0, 2).toString(), "PK");
  for (const name of ["README.txt", "entries.csv", "loggers.csv", "weather.csv", "loss.pdf"]) assert.ok(zip.includes(name), name);
  // The sample's record of weather runs on beyond its morning: what is not yet, nobody has seen.
  const weather = await page.locator("section[aria-labelledby=h-weather]").innerText();
  assert.match(weather, /27 Sep/);
  assert.doesNotMatch(weather, /28 Sep|29 Sep/);
  // Days the wrong way round are told on the list and beside the loss.
  await enter(page, "loss", { pond: "heron", cause: "theft", began: "2011-09-25", ended: "2011-09-20" });
  await page.goto(`${farm}losses`);
  assert.match(await text(page), /it was over on 20 Sep 2011, before it was first seen/);
  await context.close();
});

test("a loss with photos: they stand in the paper the right way up, and what cannot be shown says why", async (t) => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  const pictures = join(import.meta.dirname, "../shell/paper/pictures");
  const add = async (file, note) => {
    await page.goto(`${farm}log/photo?pond=heron`);
    // By the plain form, as a phone without a script sends it.
    return page.evaluate(async ([bytes, note]) => {
      const form = document.querySelector("form.entry");
      const body = new FormData(form);
      body.set("photo", new Blob([new Uint8Array(bytes)]), "photo");
      body.set("pond", "heron");
      body.set("note", note);
      const answer = await fetch(form.action, { method: "POST", body });
      return [answer.status, (await answer.text()).replace(/<[^>]+>/g, " ")];
    }, [typeof file === "number" ? file : [...file], note]);
  };
  const of = (name) => readFileSync(join(pictures, name));
  for (const [name, note] of [["held-sideways.jpg", "dead along the bank"], ["upright.png", "the meter"], ["upright.webp", "the aerator"], ["many-pixels.png", "a map"]]) {
    const [status, text] = await add(of(name), note);
    assert.equal(status, 200, `${name}: ${text.slice(0, 400)}`);
  }
  // What is no whole picture, and what is too large, is refused with its reason.
  for (const [bytes, why] of [[of("upright.png").subarray(0, 60), /no picture that can be shown/], [21 << 20, /larger than 20 MB/], [of("held-sideways.jpg").subarray(0, 300), /or it is damaged/]]) {
    const [status, text] = await add(bytes, "broken");
    assert.ok(status >= 400, String(status));
    assert.match(text, why);
  }
  // Taken by mistake, and struck out.
  await add(of("four-inks.jpg"), "a thumb");
  await page.goto(`${farm}log`);
  const thumb = page.locator("li", { hasText: "a thumb" }).first();
  await thumb.getByText("Strike this photo out").click();
  await thumb.getByRole("button", { name: "Yes, strike it out" }).click();
  await enter(page, "treatment", { pond: "heron", product: "copper sulfate", wait: "30 d" });
  await page.goto(`${farm}losses`);
  await page.getByRole("link", { name: /Heron: low oxygen/ }).click();
  const said = await text(page);
  assert.match(said, /Heron: copper sulfate was given on .+ Nothing of this pond is to be eaten before/);
  assert.deepEqual(await page.locator("figure.photo figcaption").allInnerTexts().then((all) => all.map((one) => one.split(" ").slice(-2).join(" "))),
    ["the bank", "the meter", "the aerator", "a map"]);
  assert.equal(await page.evaluate(async () => {
    const images = [...document.querySelectorAll("figure.photo img")];
    images.forEach((one) => { one.loading = "eager"; });
    await Promise.all(images.map((one) => one.decode()));
    return images[0].naturalWidth < images[0].naturalHeight;
  }), true, "the browser turns it upright as well");
  const zip = await (await page.request.get(`${page.url()}/loss.zip`)).body();
  for (const ending of [".jpg", ".png", ".webp"]) assert.ok(zip.includes(ending), ending);
  const pdf = await (await page.request.get(`${page.url()}/loss.pdf`)).body();
  const at = join(tmpdir(), `loss-${process.pid}`);
  writeFileSync(`${at}.pdf`, pdf);
  try {
    const words = execFileSync("pdftotext", ["-layout", `${at}.pdf`, "-"]).toString().replace(/\s+/g, " ");
    assert.match(words, /copper sulfate was given on/);
    assert.match(words, /a map \(The picture has too many pixels to be printed here/);
    assert.doesNotMatch(words, /a thumb \(|cannot be read/);
    const rows = execFileSync("pdfimages", ["-list", `${at}.pdf`]).toString().split("\n").filter((row) => / image /.test(row));
    assert.equal(rows.length, 3, rows.join("\n"));
    // The camera lay on its side: on paper the picture stands high, its red corner at the top right.
    execFileSync("pdftoppm", ["-r", "36", `${at}.pdf`, at]);
    const pages = readdirSync(tmpdir()).filter((name) => name.startsWith(`loss-${process.pid}-`));
    const reds = pages.flatMap((name) => corners(readFileSync(join(tmpdir(), name))));
    pages.forEach((name) => rmSync(join(tmpdir(), name)));
    assert.ok(reds.length > 0 && reds[0].redIsRight && reds[0].high > reds[0].wide, JSON.stringify(reds));
  } catch (error) {
    if (error.code !== "ENOENT") throw error;
    t.diagnostic("readers of PDF are not at hand: what stands on the paper is not looked at");
  }
  rmSync(`${at}.pdf`);
  await context.close();
});

/** In a page drawn by an outside reader: where red lies and where blue, and the field that both span. */
function corners(ppm) {
  const head = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(ppm.subarray(0, 40).toString("latin1"));
  const wide = Number(head[1]);
  const pixels = ppm.subarray(head[0].length);
  const spots = { red: [], blue: [] };
  for (let at = 0; at + 2 < pixels.length; at += 3) {
    const [r, g, b] = [pixels[at], pixels[at + 1], pixels[at + 2]];
    const place = [(at / 3) % wide, Math.floor(at / 3 / wide)];
    if (r > 150 && g < 90 && b < 90) spots.red.push(place);
    if (b > 110 && r < 80 && g < 110) spots.blue.push(place);
  }
  if (spots.red.length === 0 || spots.blue.length === 0) return [];
  // The first picture on the page alone.
  const top = Math.min(...spots.red.map(([, y]) => y));
  const near = (all) => all.filter(([, y]) => y < top + 135);
  const [red, blue] = [near(spots.red), near(spots.blue)];
  const middle = (all, n) => all.reduce((sum, one) => sum + one[n], 0) / all.length;
  const both = [...red, ...blue];
  const span = (n) => Math.max(...both.map((one) => one[n])) - Math.min(...both.map((one) => one[n]));
  return [{ redIsRight: middle(red, 0) > middle(blue, 0) && middle(red, 1) < middle(blue, 1), wide: span(0), high: span(1) }];
}

test("papers come as PDF and say what their pages say", async (t) => {
  const context = await browser.newContext(small);
  const page = await context.newPage();
  const papers = [
    [`harvest/labels.pdf?pond=quarry&day=${day}&tub=B&net=5+lb&copies=3`, lot],
    [`harvest/record.pdf?day=${day}`, "Record of cold"],
    ["harvest/tally.pdf", "Tally of baskets"],
    ["day/willow/sheet.pdf", "Harvest day of Willow"],
    [`trace/recall.pdf?lot=${lot}`, "Nine Oaks"],
  ];
  let checks = true;
  try { execFileSync("qpdf", ["--version"], { stdio: "ignore" }); } catch { checks = false; t.diagnostic("qpdf is not at hand: the files' structure is not looked at"); }
  let reads = true;
  try { execFileSync("pdftotext", ["-v"], { stdio: "ignore" }); } catch { reads = false; t.diagnostic("pdftotext is not at hand: only that they come is looked at"); }
  for (const [address, meant] of papers) {
    const answer = await page.request.get(farm + address, { timeout: 90_000 });
    assert.equal(answer.status(), 200, address);
    const bytes = await answer.body();
    assert.equal(bytes.subarray(0, 5).toString(), "%PDF-", address);
    assert.deepEqual(await (await page.request.get(farm + address, { timeout: 90_000 })).body(), bytes, `${address}: the same twice`);
    if (checks) {
      const file = join(tmpdir(), `warmspell-paper-${process.pid}.pdf`);
      writeFileSync(file, bytes);
      assert.ok(execFileSync("qpdf", ["--check", file]).toString().includes("No syntax or stream encoding errors found"), address);
      rmSync(file);
    }
    if (look) writeFileSync(join(look, `${meant.replaceAll(" ", "-")}.pdf`), bytes);
    if (reads) assert.ok(execFileSync("pdftotext", ["-", "-"], { input: bytes }).toString().replace(/\s+/g, " ").includes(meant), `${meant} in ${address}`);
  }
  await context.close();
});
