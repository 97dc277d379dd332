// The log's pages on a phone: what is typed goes to the shelf (shelf.js), and from there to the farm (sender.js); both stand before this
// in one script, and links.js too. Every sentence stands in the page.

const box = document.querySelector("[data-outbox]");
const farm = box.dataset.outbox;
const base = `/f/${farm}/`;
const form = document.querySelector("form[data-entry]");

/** @param {string} key @param {boolean} on */
const say = (key, on) => { for (const one of document.querySelectorAll(`[data-say="${key}"]`)) one.hidden = !on; };
const isSaid = (key) => Boolean(document.querySelector(`[data-say="${key}"]:not([hidden])`));

const mark = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

const shelf = shelfOf(farm);
/** All scripts of the page stand: one that listens for the shelf would miss it else. */
const scripted = document.readyState === "complete" ? Promise.resolve()
  : new Promise((stand) => { document.addEventListener("DOMContentLoaded", stand, { once: true }); });

/** The phone's own name, made once: of two tabs that make one, the first is kept. */
const device = async () => {
  if (box.dataset.device) return box.dataset.device;
  const known = await shelf.told("device");
  if (known) return known;
  await shelf.change((_, told) => ({ told: told.device ? {} : { device: `phone-${mark().slice(0, 16)}` } }));
  return shelf.told("device");
};

/** @param {object} body */
const post = async (body) => {
  const stop = AbortSignal.timeout ? AbortSignal.timeout(15000) : undefined;
  const answer = await fetch(`${base}sync`, { method: "POST", headers: { "content-type": "application/json" },
    body: JSON.stringify(body), signal: stop, cache: "no-store" });
  return { status: answer.status, said: answer.ok ? await answer.json() : null };
};

const photo = async (one) => {
  const asked = one.keepPlace ? "?keep_place=yes" : "";
  const answer = await fetch(`${base}photos${asked}`, { method: "POST", body: one.blob, cache: "no-store" });
  return { status: answer.status, digest: answer.ok ? (await answer.json()).digest : null };
};

const sender = senderOf({ shelf, device, post, photo, now: () => Date.now(), shut: (is) => say("shut", is) });

/** Id of the entry that was last kept on this page. */
let lastKept = null;

const show = async () => {
  const kept = (await shelf.all()).filter((one) => one.state !== "had").sort((a, b) => a.at - b.at);
  const list = box.querySelector("[data-list]");
  const shape = box.querySelector("template[data-item]");
  list.replaceChildren(...kept.map((one) => {
    const item = shape.content.cloneNode(true);
    item.querySelector("[data-text]").textContent = one.text;
    const state = item.querySelector(`[data-state="${one.state}"]`);
    if (state) {
      state.hidden = false;
      const away = item.querySelector("[data-away]");
      away.hidden = false;
      away.addEventListener("click", async () => {
        await sender.away(one.id);
        await show();
      });
    }
    return item;
  }));
  const waits = kept.some((one) => one.state === "waiting");
  say("waits", waits);
  say("none", kept.length === 0);
  // What the button beside the form last said goes on being true.
  const mine = kept.find((one) => one.id === lastKept);
  if (isSaid("kept") && mine?.state !== "waiting") {
    say("kept", false);
    say(mine ? "look" : "sent", true);
  }
  box.querySelector("[data-send]").hidden = !waits;
  // The way to the other address waits until this one's entries are sent.
  const move = document.querySelector("[data-move]");
  if (move) {
    move.hidden = waits;
    say("first", waits);
  }
};

/** Sends what waits; true when nothing waits any more. */
const sendAll = async () => {
  const sent = await sender.sendAll();
  await show();
  if (sent) {
    say("unsent", false);
    // A copy that the phone had put by: what the farm has now stands on the page anew, unless somebody is typing on it.
    const old = isSaid("age");
    say("age", false);
    if (old && !form) location.reload();
  }
  return sent;
};

/** A person asked for it: they are told how it went. */
const onSend = async () => {
  say("unsent", false);
  say("sending", true);
  const sent = await sendAll();
  say("sending", false);
  say("unsent", !sent && !isSaid("shut"));
};

/** What the program writes for itself: no person reads it. */
const MARKS = ["receipt", "of_order", "takes_back"];

/** An entry in one line, with the names the form shows. */
const textOf = (from, typed) => Object.entries(typed).filter(([name, text]) => text !== "" && !MARKS.includes(name)).map(([name, text]) => {
  const chip = [...from.querySelectorAll(`input[name="${name}"]:checked`)].map((one) => one.nextElementSibling?.textContent)[0];
  return chip ?? text;
}).join(", ");

/** @param {HTMLFormElement} from */
const factOf = async (from) => {
  const fields = new FormData(from);
  const own = ["id", "kind", "made_ms", "when", "then", "photo", "keep_place", "sure"];
  const typed = {};
  for (const [name, raw] of fields) {
    const text = String(raw).trim();
    if (own.includes(name) || name.startsWith("unit-") || text === "") continue;
    const unit = fields.get(`unit-${name}`);
    const whole = unit && /^[-0-9.,\s]+$/.test(text) ? `${text} ${unit}` : text;
    // Several boxes of one name are one list.
    typed[name] = name in typed ? `${typed[name]} ${whole}` : whole;
  }
  return { ...await begun(from, fields.get("when")), kind: from.dataset.entry, form: Number(from.dataset.form),
    corrects: from.dataset.corrects ?? null, typed };
};

/** Who, where and when, of an entry of a page. @param {HTMLFormElement} from @param {unknown} when */
const begun = async (from, when) => {
  const offset_s = Number(from.dataset.offset);
  const face = Date.parse(`${when}Z`);
  const utc_s = Number.isNaN(face) ? Math.floor(Date.now() / 1000) : Math.floor(face / 1000) - offset_s;
  return { id: mark(), farm, device: await device(), person: box.dataset.person, happened: { utc_s, offset_s }, typed_ms: Date.now() };
};

/** Keeps an entry that a page's own script made, as one that was typed: when this returns, the phone has it on its disk. */
const keepMade = async (kind, version, typed, text, corrects = null) => {
  const fact = { ...await begun(form, form.elements.when?.value), kind, form: version, corrects, typed };
  await sender.keep({ id: fact.id, state: "waiting", at: Date.now(), text, fact });
  await show();
  sendAll();
  return fact;
};

const clockNow = () => {
  // What a person has been asked about stays as it was asked.
  if (form?.dataset.clock !== "live" || form.elements.sure) return;
  const face = new Date(Date.now() + Number(form.dataset.offset) * 1000).toISOString();
  form.elements.when.value = face.slice(0, 16);
};

/** Somebody set the hour themselves: it stands for this entry, and for no other. */
let isSetByHand = false;

/** At a station the next entry begins fresh: the pond stays, and where a basket goes; answers and an hour set by hand do not. */
const beginAnew = () => {
  const stays = (one) => one.name === "pond" || (one.name === "to" && form.dataset.entry === "basket");
  form.querySelectorAll("input[type=radio]").forEach((one) => { if (!stays(one)) one.checked = false; });
  isSetByHand = false;
  form.elements.when.value = form.elements.when.defaultValue;
  clockNow();
};

const WIDE_MOST = 2000;
/** A photo of a size that weak signal carries, drawn anew, so that nothing but the picture is in it; as it is where that fails. */
const drawn = async (file) => {
  try {
    const picture = await createImageBitmap(file);
    const scale = Math.min(1, WIDE_MOST / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * scale);
    canvas.height = Math.round(picture.height * scale);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return (await new Promise((resolve) => { canvas.toBlob(resolve, "image/jpeg", 0.85); })) ?? file;
  } catch { return file; }
};

/** Beside the button, and where it is seen. */
const sayBeside = (key) => {
  say(key, true);
  document.querySelector(".beside").scrollIntoView({ block: "nearest" });
};

/** One entry after the other: a second tap while the first is being kept is the same tap. */
let keeping = false;
const onKeep = async (event) => {
  event.preventDefault();
  if (keeping) return;
  keeping = true;
  try { await keepOne(); } finally { keeping = false; }
};

const LOOK_MS = 4000;
/** Whether the farm sends an entry back to be mended. Without signal the phone keeps it, and the farm looks at it when it comes. */
const isWrong = async () => {
  if (form.dataset.lookedAt === undefined || !navigator.onLine) return false;
  const fields = new URLSearchParams(new FormData(form));
  fields.set("look", "yes");
  try {
    // A field is called action too: the form's own is asked for by name.
    const answer = await fetch(form.getAttribute("action"), { method: "POST", body: fields, signal: AbortSignal.timeout(LOOK_MS), cache: "no-store" });
    return answer.status === 422;
  } catch { return false; }
};

/** At a station a comma is a point, as on the scale: the farm reads a comma as thousands. */
const points = () => {
  for (const one of form.closest("[data-station]")?.querySelectorAll("input[type=text]") ?? []) {
    if (/^\s*\d+,\d{1,2}\s*$/.test(one.value)) one.value = one.value.replace(",", ".");
  }
};

/** Digits with a point, thousands set apart by commas or not, a sign or a name of money before or behind. */
const MONEY = /^[^\d.,]*(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?[^\d.,]*$/;
/** What this phone can tell by itself is wrong: without signal nobody else would until much later. */
const wrongHere = (fact, kept) => {
  if (fact.typed.struck) return null;
  const amounts = [...form.querySelectorAll("[data-money]")];
  if (amounts.some((one) => one.value.trim() !== "" && !(/\d/.test(one.value) && MONEY.test(one.value.trim())))) return "money";
  if (form.dataset.most === undefined) return null;
  // What may be taken back: as the page had it, less what this phone took back since.
  const number = (text) => Number(/[0-9]+(?:\.[0-9]+)?|\.[0-9]+/.exec((text ?? "").replaceAll(",", "")) ?? 0);
  const kilograms = (text) => number(text) * ({ lb: 0.45359237, oz: 0.45359237 / 16, g: 0.001 }[/[a-z]+\s*$/i.exec(text ?? "")?.[0].trim().toLowerCase()] ?? 1);
  const figure = (typed) => {
    if (fact.kind === "paid") return number(typed.paid);
    return typed.sold_as === "piece" ? number(typed.pieces) : kilograms(typed.amount) - kilograms(typed.tare);
  };
  const same = (typed) => (typed.takes_back ? typed.takes_back === fact.typed.takes_back : typed.given_back === "yes" && typed.receipt === fact.typed.receipt);
  const before = kept.filter((one) => one.state === "waiting" && one.fact && one.fact.kind === fact.kind && same(one.fact.typed))
    .reduce((sum, one) => sum + figure(one.fact.typed), 0);
  return figure(fact.typed) + before > Number(form.dataset.most) + 0.005 ? "back-over" : null;
};

const keepOne = async () => {
  ["kept", "sent", "look", "not-kept", "nothing"].forEach((key) => say(key, false));
  points();
  const isAnew = Boolean(form.closest("[data-anew]"));
  // A station stays open for hours: an entry is of the moment at which it is kept.
  if (isAnew && !isSetByHand) clockNow();
  const fact = await factOf(form);
  const file = form.elements.photo?.files?.[0];
  if (form.dataset.entry === "photo" && !file) return sayBeside("nothing");
  const keepPlace = Boolean(form.elements.keep_place?.checked);
  const picture = file ? { blob: keepPlace ? file : await drawn(file), keepPlace, put: false } : {};
  if (file) fact.typed.photo = "";
  const more = Object.keys(fact.typed).some((name) => !["pond", "end", "caught_by", "to", "tub", "place"].includes(name));
  if (!more) return sayBeside("nothing");
  const wrong = wrongHere(fact, await shelf.all());
  for (const key of ["back-over", "money"]) say(key, key === wrong);
  if (wrong) {
    document.querySelector(`[data-say="${wrong}"]`).scrollIntoView({ block: "center" });
    return undefined;
  }
  // The farm's page comes back with what is wrong, where, and all that was typed.
  if (await isWrong()) return HTMLFormElement.prototype.submit.call(form);
  try {
    await sender.keep({ id: fact.id, state: "waiting", at: Date.now(), text: textOf(form, fact.typed), fact, ...picture });
  } catch {
    return sayBeside("not-kept");
  }
  lastKept = fact.id;
  // Cleared only now that the phone has it.
  form.querySelectorAll("input[type=text]:not([data-stays]), input[type=file], textarea").forEach((one) => { one.value = ""; });
  // At a station one stays: the next basket waits.
  // The next entry may come: the first is on the phone, and the form is empty.
  keeping = false;
  const stays = Boolean(form.closest("[data-station]"));
  if (stays) form.querySelectorAll("input[type=checkbox]:not([data-keeps])").forEach((one) => { one.checked = false; });
  if (isAnew) beginAnew();
  document.dispatchEvent(new CustomEvent("kept", { detail: { shelf, fact } }));
  if (stays) say("kept", true);
  else sayBeside("kept");
  await show();
  if (await sendAll() && !stays && (await shelf.all()).some((one) => one.id === fact.id && one.state === "had")) location.assign(`${base}${form.dataset.after ?? "log"}`);
  return undefined;
};

const way = (name) => ["way-kept", "way-coming", "way-open", "way-none"].forEach((key) => say(key, key === name));

/** Puts the entry pages by, where the phone allows it, and says which way this phone has. */
const putBy = async () => {
  // A page that is no part of the log is not worth keeping.
  if (Number(box.dataset.made) === 0) return undefined;
  if (!window.isSecureContext || !("serviceWorker" in navigator)) {
    stayOpen(box.querySelector('[data-say="stay"]'));
    return way("way-open");
  }
  way("way-coming");
  const scripts = [box.dataset.station, box.dataset.till].filter(Boolean);
  // A form of every kind that this page leads to: out of reach a dead prawn is not entered as a reading.
  const kinds = [...document.querySelectorAll('nav.kinds a[href*="/log/new?kind="]')].map((one) => {
    const url = new URL(one.href);
    url.search = `?kind=${url.searchParams.get("kind")}`;
    return url.href;
  });
  try {
    await navigator.serviceWorker.register(`${base}worker.js`, { scope: base });
    const ready = await navigator.serviceWorker.ready;
    const line = new MessageChannel();
    const answer = new Promise((resolve) => { line.port1.onmessage = (event) => resolve(event.data); });
    const keep = [location.href, `${base}log`, `${base}log/new`, `${base}log/photo`, `${base}log/away`,
      ...kinds, ...["scale", "edge", "cold", "table", "watch", "people", "close"].map((one) => `${base}harvest/${one}`), `${base}sale`, ...scripts, box.dataset.style, import.meta.url];
    ready.active.postMessage({ keep }, [line.port2]);
    if (await answer === "kept" || await caches.match(`${base}log/new`)) way("way-kept");
  } catch { way("way-open"); }
  return undefined;
};

const begin = async () => {
  box.hidden = false;
  clockNow();
  // A page that was kept for one pond is opened for another.
  const pond = new URLSearchParams(location.search).get("pond");
  const chosen = pond && form?.querySelector(`input[name=pond][value="${CSS.escape(pond)}"]`);
  if (chosen && ![...form.querySelectorAll("[aria-invalid], .wrong")].some((one) => !one.hidden)) chosen.checked = true;
  try { await show(); } catch { return way("way-none"); }
  form?.elements.when?.addEventListener("input", () => { isSetByHand = true; });
  form?.addEventListener("submit", onKeep);
  await scripted;
  document.dispatchEvent(new CustomEvent("shelf", { detail: { shelf, keepMade, mark } }));
  box.querySelector("[data-send]").addEventListener("click", onSend);
  addEventListener("online", sendAll);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) sendAll(); });
  setInterval(async () => { if ((await shelf.all()).some((one) => one.state === "waiting")) sendAll(); }, 20000);
  box.dataset.ready = "yes";
  // A copy that the phone had put by says from when it is.
  const made = Number(box.dataset.made);
  if (made > 0 && !(await sendAll())) {
    say("age", true);
  }
  await putBy();
  return undefined;
};
await begin();
