// A sale table on a phone. It knows what the table was handed (from the page) and its own lines (from the shelf), so that it says without signal
// what is left, and writes no line for more. It speaks with the log's script (outbox.js) through the form, and by the events "shelf" and "kept".

const till = document.querySelector("form[data-till]");
const data = till.dataset;
const KNOWN = new Set(data.known.split(" ").filter(Boolean));
const goods = [...document.querySelectorAll("[data-good]")];
const HAIR = 1e-6;
const LAST_RECEIPTS = 6;
const said = (key, on) => { for (const one of document.querySelectorAll(`[data-say="${key}"]`)) one.hidden = !on; };
const show = (list, on) => { for (const one of list) one.hidden = !on; };

const { priceOf, amountOf, coinsOf, ...sums } = tillOf({ unit: data.unit, coins: Number(data.coins), known: KNOWN, signs: data.signs.split("|") });
const ages = document.querySelector("[data-clocks]");
const clocks = [...document.querySelectorAll("[data-lot-clock]")];
const goodOf = (one) => ({ sold_as: one.dataset.sold_as, size: one.dataset.size, left: Number(one.dataset.left) });
const isOf = (good, typed) => sums.isOf(goodOf(good), typed);
const { takes } = sums;

const digits = Math.round(Math.log10(Number(data.coins)));
const money = (coins) => {
  const text = (coins / Number(data.coins)).toFixed(digits);
  return data.currency === "USD" ? (coins < 0 ? `-$${text.slice(1)}` : `$${text}`) : `${text} ${data.currency}`;
};
const amountText = (sold_as, amount) => {
  if (sold_as === "piece") return String(amount);
  const shown = (amount / KG[data.unit]).toFixed(2);
  return `${shown === "-0.00" ? "0.00" : shown} ${data.unit}`;
};

/** Entries of this phone for this table. */
let own = [];
let facts = [];
const fold = () => { own = sums.fold(facts); };
const left = (good) => sums.left(goodOf(good), own);
const leftOfLot = (one) => {
  const { sold_as, size } = goods[Number(one.dataset.at)].dataset;
  return sums.left({ sold_as, size, lot: one.dataset.lot, left: Number(one.dataset.left) }, own);
};
/** Every order that the page knows. */
const orders = [...till.elements.of_order?.options ?? []];
/** A person chose the lot. */
let picked = false;

let chosen = goods.find((one) => one.getAttribute("aria-current")) ?? goods[0];
const receipt = () => till.elements.receipt.value;
const linesOf = (mark) => own.filter((one) => one.kind === "sale" && one.typed.receipt === mark);
const paidOf = (mark) => own.filter((one) => one.kind === "paid" && one.typed.receipt === mark)
  .reduce((sum, one) => sum + Math.round(number(one.typed.paid) * Number(data.coins)) * (one.typed.given_back === "yes" ? -1 : 1), 0);
const boughtOf = (mark) => linesOf(mark).reduce((sum, one) => sum + coinsOf(one.typed), 0);
/** What was paid down on the order that a receipt fills, as the farm had it, and is not used up. */
const downOf = (mark) => {
  const order = linesOf(mark).map((one) => one.typed.of_order).find(Boolean);
  const option = order && orders.find((one) => one.value === order);
  return Math.min(Number(option?.dataset.down ?? 0), Math.max(boughtOf(mark), 0));
};
const dueOf = (mark) => boughtOf(mark) - downOf(mark) - paidOf(mark);

const choose = (good, keepsPrice = false) => {
  // The tare of one good's tub or bag is not another's.
  if (good !== chosen) till.elements.tare.value = "";
  chosen = good;
  for (const one of goods) one === good ? one.setAttribute("aria-current", "true") : one.removeAttribute("aria-current");
  if (!good) return;
  till.elements.sold_as.value = good.dataset.sold_as;
  till.elements.size.value = good.dataset.size;
  if (!keepsPrice) till.elements.price.value = good.dataset.price;
  const counted = good.dataset.sold_as === "piece";
  show(till.querySelectorAll("[data-counted]"), counted);
  show(till.querySelectorAll("[data-weighed]"), !counted);
  (counted ? till.elements.amount : till.elements.pieces).value = "";
  ["over", "no-amount", "tare-over", "no-price", "other-money"].forEach((key) => said(key, false));
  picked = false;
  drawLots();
  (counted ? till.elements.pieces : till.elements.amount).focus({ preventScroll: true });
};

/** Which of a good's lots is sold from: the one that ends first, until none of it is left or a person chooses. */
const drawLots = (wanted) => {
  const own_lots = clocks.filter((one) => goods[Number(one.dataset.at)] === chosen && leftOfLot(one) > HAIR);
  const select = till.elements.lot;
  if (!select) return;
  const names = own_lots.map((one) => one.dataset.lot);
  const keep = wanted ?? (data.corrects || (picked && names.includes(select.value)) ? select.value : names[0] ?? chosen?.dataset.lot ?? "");
  if (!names.some((name) => name === keep.trim().toUpperCase())) names.push(keep);
  select.replaceChildren(...names.map((name) => {
    const one = own_lots.find((other) => other.dataset.lot === name);
    const text = name || till.dataset.noLot;
    return new Option(one ? `${text}, ${amountText(chosen.dataset.sold_as, leftOfLot(one))}` : text, name);
  }));
  select.value = names.find((name) => name === keep.trim().toUpperCase()) ?? keep;
  show(till.querySelectorAll("[data-of-lot]"), names.length > 1);
  drawClocks();
};

const ageText = (seconds) => {
  const hours = Math.max(0, seconds / 3600);
  const [h, days, months] = ages.dataset.units.split("|");
  if (hours < 48) return `${hours.toFixed(0)} ${h}`;
  return hours < 24 * 60 ? `${(hours / 24).toFixed(0)} ${days}` : `${(hours / 24 / 30.4).toFixed(0)} ${months}`;
};

/** Ages go on without signal: by this phone's clock, or by the page's where the farm's own morning stands still. */
const drawClocks = () => {
  const now = data.clock === "live" ? Date.now() / 1000 : Number(ages.dataset.now);
  const worst = new Map();
  for (const one of clocks) {
    const good = goods[Number(one.dataset.at)];
    const there = leftOfLot(one) > HAIR && left(good) > HAIR;
    for (const line of one.querySelectorAll("[data-from]")) {
      const until = line.dataset.until ? Number(line.dataset.until) : Infinity;
      line.hidden = !(Number(line.dataset.from) <= now && now < until);
      line.querySelector("[data-age]").textContent = ageText(now - Number(one.dataset.since));
      // Rows stand in the order of the marks: the last that holds is the worst.
      const before = worst.get(good);
      if (there && !line.hidden && (!before || Number(before.dataset.rank) < Number(line.dataset.rank))) worst.set(good, line);
    }
    one.hidden = !(there && good === chosen);
  }
  for (const good of goods) {
    const mark = good.querySelector("[data-aged]");
    mark.textContent = worst.get(good)?.dataset.state ?? "";
    mark.hidden = !mark.textContent;
  }
  show(ages.querySelectorAll("[data-as-of]"), data.clock !== "live" && clocks.length > 0);
};

/** What the form says now, as an entry would. */
const typedNow = () => ({ sold_as: till.elements.sold_as.value, size: till.elements.size.value, price: till.elements.price.value,
  amount: till.elements.amount.value && `${till.elements.amount.value} ${data.unit}`, tare: till.elements.tare.value && `${till.elements.tare.value} ${data.unit}`,
  pieces: till.elements.pieces.value });

const nameOf = (typed) => goods.find((one) => isOf(one, typed))?.querySelector("b").textContent ?? typed.sold_as;
const lineText = (typed) => `${nameOf(typed)}: ${amountText(typed.sold_as, amountOf(typed))} × ${typed.price} = ${money(coinsOf(typed))}`;

const box = document.querySelector("[data-receipt]");
const textBox = box.querySelector("[data-text]");
const asText = () => {
  const area = textBox.querySelector("textarea");
  const mark = receipt();
  const lines = linesOf(mark).filter((one) => !one.typed.struck);
  const sum = lines.reduce((all, one) => all + coinsOf(one.typed), 0);
  const buyer = lines.map((one) => one.typed.buyer).find(Boolean);
  area.value = [area.dataset.farm, `${area.dataset.title} ${mark.slice(0, 6).toUpperCase()}${buyer ? `, ${buyer}` : ""}`,
    ...lines.map((one) => lineText(one.typed) + (one.typed.lot ? `, ${one.typed.lot}` : "")), `${area.dataset.total}: ${money(sum)}`, area.dataset.food].join("\n");
};

const item = (text, ...buttons) => {
  const one = document.createElement("li");
  const span = document.createElement("span");
  span.textContent = text;
  one.replaceChildren(span, ...buttons.flatMap((button) => [" ", button]));
  return one;
};
const button = (label, of, act) => {
  const one = document.createElement("button");
  one.type = "button";
  one.textContent = label;
  one.setAttribute("aria-label", `${label}: ${of}`);
  one.addEventListener("click", act);
  return one;
};

/** Orders that are fetched, by what the farm had counted and by this phone's own lines, are offered no more; the one of this receipt stays. */
const drawOrders = (wanted = till.elements.of_order?.value ?? "") => {
  const select = till.elements.of_order;
  const isOpen = (one) => Number(one.dataset.open) - sums.served(one.value, own) > HAIR;
  select?.replaceChildren(...orders.filter((one) => one.value === "" || one.value === wanted || isOpen(one)));
  for (const one of select?.options ?? []) one.hidden = false;
  if (select) select.value = wanted;
};

const draw = () => {
  drawOrders();
  for (const good of goods) good.querySelector("[data-of-left]").textContent = amountText(good.dataset.sold_as, left(good));
  drawLots();
  const lines = linesOf(receipt()).reverse();
  const list = box.querySelector("[data-lines]");
  list.replaceChildren(...(lines.length === 0 ? [item(box.dataset.none)] : lines.map((one) => {
    const text = lineText(one.typed);
    const shown = item(text, button(box.dataset.mend, text, () => mend(one)));
    if (one.typed.struck) shown.firstElementChild.style.textDecoration = "line-through";
    return shown;
  })));
  box.querySelector("[data-due]").textContent = lines.length === 0 ? "-" : money(dueOf(receipt()));
  const down = downOf(receipt());
  show(box.querySelectorAll("[data-down]"), down > 0);
  box.querySelector("[data-down] b").textContent = money(down);
  textBox.hidden = lines.length === 0;
  asText();
  const others = [...new Set(own.filter((one) => one.kind === "sale").sort((a, b) => b.at - a.at).map((one) => one.typed.receipt))]
    .filter((mark) => mark && mark !== receipt()).slice(0, LAST_RECEIPTS);
  const before = box.querySelector("[data-others]");
  before.hidden = others.length === 0;
  before.querySelector("ul").replaceChildren(...others.map((mark) => {
    const due = dueOf(mark);
    const text = `${mark.slice(0, 6).toUpperCase()} ${linesOf(mark).map((one) => one.typed.buyer).find(Boolean) ?? ""} ${money(linesOf(mark).reduce((sum, one) => sum + coinsOf(one.typed), 0))}`;
    const name = button(text, due === 0 ? "" : money(due), () => { begin(mark); });
    return item(due === 0 ? "" : `${document.querySelector(".due").firstChild.textContent} ${money(due)}`, name);
  }));
};

/** What goes back over the table when more cash is handed over than is due, and what is still to pay when less is; of a card nothing goes back. */
const drawChange = () => {
  said("no-money", false);
  const text = pay.elements.paid.value.trim();
  const due = Math.max(dueOf(receipt()), 0);
  const back = plain.test(text) && linesOf(receipt()).length > 0 ? Math.round(number(text) * Number(data.coins)) - due : 0;
  const isCash = pay.elements.paid_by.value === "cash";
  said("card-more", back > 0 && !isCash);
  pay.querySelector("[data-change]").hidden = back <= 0 || !isCash;
  pay.querySelector("[data-change] b").textContent = money(back);
  pay.querySelector("[data-short]").hidden = back >= 0;
  pay.querySelector("[data-short] b").textContent = money(-back);
  return isCash ? back : Math.min(back, 0);
};

/** A name that was typed after the lines belongs to them: who has the goods is asked of the lines. */
const nameLines = async () => {
  const buyer = till.elements.buyer.value.trim();
  if (!buyer || !keepMade) return;
  for (const one of linesOf(receipt()).filter((line) => !line.typed.struck && line.typed.buyer !== buyer)) {
    const typed = { ...one.typed, buyer };
    facts.push(await keepMade("sale", Number(data.form), typed, `${lineText(typed)}, ${buyer}`, one.head));
  }
  fold();
};

let agreed = false;
/** The price that was agreed, where the order is of what is being sold; the list's again for the next buyer. */
const takeAgreed = () => {
  const order = till.elements.of_order?.selectedOptions[0]?.dataset ?? {};
  const price = order.price && order.sold_as === till.elements.sold_as.value ? order.price : agreed && chosen?.dataset.price;
  if (price) till.elements.price.value = price;
  agreed = Boolean(order.price);
};

let newMark = null;
/** The next buyer, or one before taken up again. */
const begin = (mark) => {
  till.elements.receipt.value = mark;
  pay.elements.receipt.value = mark;
  till.elements.buyer.value = linesOf(mark).map((one) => one.typed.buyer).find(Boolean) ?? "";
  drawOrders(linesOf(mark).map((one) => one.typed.of_order).find(Boolean) ?? "");
  takeAgreed();
  pay.elements.paid.value = "";
  for (const one of pay.querySelectorAll("[data-change], [data-short]")) one.hidden = true;
  said("card-more", false);
  till.elements.tare.value = "";
  rest();
  draw();
};

const rest = () => {
  delete data.corrects;
  till.elements.struck.checked = false;
  till.querySelector("[data-strike]").hidden = true;
  said("mending", false);
};

/** Takes a line up again: a correction says all of it anew. */
const mend = (one) => {
  data.corrects = one.head;
  const good = goods.find((other) => isOf(other, one.typed));
  if (good) choose(good, true);
  drawLots(one.typed.lot ?? "");
  for (const name of ["amount", "tare", "pieces"]) till.elements[name].value = one.typed[name] ? String(Number(number(one.typed[name]))) : "";
  till.elements.price.value = one.typed.price ?? "";
  till.elements.drained.checked = one.typed.drained === "yes";
  till.querySelector("[data-strike]").hidden = false;
  said("mending", true);
  till.scrollIntoView({ block: "start" });
};

const refuse = (event, key) => {
  said(key, true);
  event.preventDefault();
  event.stopImmediatePropagation();
};
const plain = /^\s*([0-9]+([.,][0-9]*)?|[.,][0-9]+)\s*$/;
till.addEventListener("submit", (event) => {
  ["over", "no-amount", "tare-over", "no-price", "other-money"].forEach((key) => said(key, false));
  if (till.elements.struck.checked) return undefined;
  const typed = typedNow();
  const counted = byPiece(typed);
  const amount = counted ? till.elements.pieces.value : till.elements.amount.value;
  const whole = !counted || /^\s*[0-9]+\s*$/.test(amount);
  const tare = till.elements.tare.value;
  if (!plain.test(amount) || !whole || (!counted && tare !== "" && !plain.test(tare))) return refuse(event, "no-amount");
  if (!(amountOf(typed) > 0)) return refuse(event, !counted && number(amount) > 0 ? "tare-over" : "no-amount");
  if (sums.isOther(typed.price)) return refuse(event, "other-money");
  const price = priceOf(typed.price);
  if (!price || price.each !== counted) return refuse(event, "no-price");
  // What the line that is mended had taken is there again.
  const before = own.find((one) => one.ids.has(data.corrects));
  const back = before && chosen && isOf(chosen, before.typed) ? takes(before.kind, before.typed) : 0;
  // Kept as the farm reads it: with a point, whatever the scale writes.
  for (const name of ["amount", "tare", "pieces", "price"]) till.elements[name].value = tidied(till.elements[name].value.trim());
  if (!chosen || amountOf(typed) > left(chosen) + back + HAIR) {
    document.querySelector("[data-more]").hidden = false;
    return refuse(event, "over");
  }
  return undefined;
}, { capture: true });

const comes = () => {
  const typed = typedNow();
  const coins = (typed.amount || typed.pieces) && coinsOf(typed);
  till.querySelector("[data-comes]").textContent = coins > 0 ? `= ${money(coins)}` : "";
};
till.addEventListener("input", comes);
for (const good of goods) {
  good.addEventListener("click", (event) => {
    event.preventDefault();
    choose(good);
    comes();
  });
}
till.elements.lot?.addEventListener("change", () => { picked = true; });
setInterval(drawClocks, 60_000);
till.elements.of_order?.addEventListener("change", () => {
  till.elements.buyer.value = till.elements.of_order.selectedOptions[0]?.dataset.buyer ?? till.elements.buyer.value;
  takeAgreed();
  comes();
});

const pay = document.querySelector("form[data-pay]");
let keepMade = null;
let paying = false;
pay.elements.paid.addEventListener("input", drawChange);
for (const way of pay.elements.paid_by) way.addEventListener("change", drawChange);
pay.addEventListener("submit", async (event) => {
  event.preventDefault();
  said("no-money", false);
  const due = dueOf(receipt());
  const text = pay.elements.paid.value.trim() || (due / Number(data.coins)).toFixed(digits);
  if (!plain.test(text) || linesOf(receipt()).length === 0) return said("no-money", true);
  if (pay.elements.paid_by.value !== "cash" && Math.round(number(text) * Number(data.coins)) > Math.max(due, 0)) return said("card-more", true);
  if (paying || !keepMade) return undefined;
  paying = true;
  try {
    // Change that is handed back was never the farm's.
    const coins = Math.min(Math.round(number(text) * Number(data.coins)), Math.max(due, 0));
    const typed = { paid: (coins / Number(data.coins)).toFixed(digits), paid_by: pay.elements.paid_by.value, receipt: receipt(), table: data.table };
    if (till.elements.buyer.value) typed.buyer = till.elements.buyer.value;
    if (till.elements.of_order?.value) typed.of_order = till.elements.of_order.value;
    const back = drawChange();
    if (coins > 0) facts.push(await keepMade("paid", Number(pay.dataset.form), typed, `${pay.querySelector("label").textContent} ${money(coins)}`));
    fold();
    await nameLines();
    begin(newMark());
    // It stands until the next buyer's first line: the hand is still in the till.
    show(document.querySelectorAll("[data-change-was]"), back > 0);
    document.querySelector("[data-change-was] b").textContent = money(back);
  } finally { paying = false; }
  return undefined;
});
pay.querySelector("[data-later]").addEventListener("click", async () => {
  await nameLines();
  begin(newMark());
});

const more = document.querySelector("[data-more]");
more.querySelector("[data-more-keep]").addEventListener("click", async () => {
  const input = more.querySelector("input");
  if (!plain.test(input.value) || !chosen || !keepMade) return;
  const { sold_as, size, price } = chosen.dataset;
  const typed = { table: data.table, sold_as, note: more.querySelector("summary").textContent, ...(size ? { size } : {}), ...(price ? { price } : {}),
    ...(sold_as === "piece" ? { pieces: input.value } : { amount: `${input.value} ${data.unit}` }) };
  facts.push(await keepMade("handed", Number(more.dataset.form), typed, `${more.querySelector("summary").textContent}: ${input.value}`));
  input.value = "";
  fold();
  said("over", false);
  draw();
});

textBox.querySelector("[data-copy]").addEventListener("click", async () => {
  const area = textBox.querySelector("textarea");
  area.select();
  try { await navigator.clipboard.writeText(area.value); } catch { document.execCommand("copy"); }
  said("copied", true);
});

const mine = (fact) => ["sale", "handed", "paid"].includes(fact.kind) && fact.typed.table === data.table;
const read = async (shelf) => {
  facts = (await shelf.all()).map((one) => one.fact).filter(mine);
  fold();
  draw();
};
/** Another tab of this phone sells from the same table: what it kept is read before the next line. */
const tabs = "BroadcastChannel" in window ? new BroadcastChannel(`till ${location.pathname}`) : null;
document.addEventListener("kept", (event) => {
  tabs?.postMessage("kept");
  // At once, before the shelf is read anew: the next line must not be reckoned without this one.
  facts.push(event.detail.fact);
  fold();
  show(document.querySelectorAll("[data-change-was]"), false);
  rest();
  draw();
  comes();
  if (chosen) (chosen.dataset.sold_as === "piece" ? till.elements.pieces : till.elements.amount).focus({ preventScroll: true });
});
document.addEventListener("shelf", (event) => {
  ({ keepMade } = event.detail);
  newMark = event.detail.mark;
  tabs?.addEventListener("message", () => read(event.detail.shelf));
  document.addEventListener("visibilitychange", () => { if (!document.hidden) read(event.detail.shelf); });
  // A page that was put by has the mark of its making: the next buyer has one of their own.
  begin(newMark());
  pay.querySelector("[data-later]").hidden = false;
  read(event.detail.shelf).then(() => { data.ready = "yes"; });
});
choose(chosen, Boolean(till.elements.price.value));
