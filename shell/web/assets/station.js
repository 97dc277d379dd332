// A station of the harvest day: big keys, the last baskets with those that still wait on this phone, one of them mended. It speaks with the log's script
// (outbox.js) through the form alone: that script keeps what is typed and says so by the event "kept".

const scale = document.querySelector("form.scale");
const weight = scale.elements.weight;
const list = document.querySelector("[data-last]");
const told = (key, on) => { for (const one of document.querySelectorAll(`[data-say="${key}"]`)) one.hidden = !on; };
const LAST = 6;

const keys = scale.querySelector("[data-keys]");
keys.hidden = false;
let fresh = false;
keys.addEventListener("click", (event) => {
  const { key } = event.target.closest("button")?.dataset ?? {};
  if (!key) return;
  // The first key after one was taken up for mending replaces what stood there.
  if (fresh) weight.value = "";
  fresh = false;
  if (key === "back") weight.value = weight.value.slice(0, -1);
  else if (key !== "." || !weight.value.includes(".")) weight.value += key;
  told("odd-weight", false);
  told("no-weight", false);
});
weight.addEventListener("input", () => { told("no-weight", false); });

/** Whether the weight was asked about and shown again as it is. */
let asked = null;
scale.addEventListener("submit", (event) => {
  const net = Number(weight.value.replace(",", ".")) - Number(scale.elements.tare.value.replace(",", ".") || 0);
  const plain = /^\s*[0-9]+([.,][0-9]+)?\s*$/;
  const none = !plain.test(weight.value) || (scale.elements.tare.value !== "" && !plain.test(scale.elements.tare.value));
  told("no-weight", none && !scale.elements.struck.checked);
  if (none && !scale.elements.struck.checked) {
    event.preventDefault();
    event.stopImmediatePropagation();
    return;
  }
  // A comma for the point, as some keyboards have it: the farm reads a comma as thousands.
  for (const one of [weight, scale.elements.tare]) one.value = one.value.replace(",", ".");
  const odd = net <= 0 || net > Number(scale.dataset.most);
  if (odd && asked !== weight.value && !scale.elements.struck.checked) {
    asked = weight.value;
    told("odd-weight", true);
    event.preventDefault();
    event.stopImmediatePropagation();
  } else {
    asked = null;
    told("odd-weight", false);
  }
}, { capture: true });

/** What the scale stood at before a basket was taken up to be mended: the next one goes where the last one went. */
let before = null;
const chosen = (name) => scale.querySelector(`input[name=${name}]:checked`)?.value;
const choose = (name, value) => {
  const chip = scale.querySelector(`input[name=${name}][value="${CSS.escape(value ?? "")}"]`);
  if (chip) chip.checked = true;
};

const rest = () => {
  if (before) {
    for (const name of ["pond", "to"]) choose(name, before[name]);
    for (const name of ["tare", "tub"]) scale.elements[name].value = before[name];
    before = null;
  }
  delete scale.dataset.corrects;
  scale.elements.struck.checked = false;
  scale.querySelector("[data-strike]").hidden = true;
  told("mending", false);
};

/** Takes a basket up again as it was: a correction says all of it anew. @param {string} id @param {object} typed */
const mend = (id, typed) => {
  before ??= { pond: chosen("pond"), to: chosen("to"), tare: scale.elements.tare.value, tub: scale.elements.tub.value };
  scale.dataset.corrects = id;
  weight.value = number(typed.weight);
  for (const name of ["pond", "to"]) choose(name, typed[name]);
  for (const name of ["tare", "tub", "count"]) scale.elements[name].value = name === "tub" ? typed.tub ?? "" : number(typed[name]);
  scale.elements.by_hand.checked = typed.by_hand === "yes";
  fresh = true;
  scale.querySelector("[data-strike]").hidden = false;
  told("mending", true);
  scale.scrollIntoView({ block: "start" });
};

const number = (text) => (/^[0-9.,]+/.exec(text ?? "") ?? [""])[0];

/** Baskets kept on this phone, the newest first, each as it was mended last. @param {object[]} all */
const mine = (all) => {
  const facts = all.map((one) => one.fact).filter((fact) => fact.kind === "basket").sort((a, b) => a.typed_ms - b.typed_ms);
  const byId = new Map();
  for (const fact of facts) {
    const first = fact.corrects ? [...byId.values()].find((one) => one.heads.has(fact.corrects)) : undefined;
    if (first) {
      first.heads.add(fact.id);
      [first.head, first.typed] = [fact.id, fact.typed.struck ? { ...first.typed, struck: "yes" } : fact.typed];
    } else byId.set(fact.id, { id: fact.id, head: fact.id, heads: new Set([fact.id]), typed: fact.typed, at: fact.typed_ms });
  }
  return [...byId.values()].reverse();
};

/** @param {{ all: () => Promise<object[]> }} shelf */
const showLast = async (shelf) => {
  const own = mine(await shelf.all()).slice(0, LAST);
  for (const one of own) {
    const chip = scale.querySelector(`input[name=to][value="${CSS.escape(one.typed.to ?? "")}"]`)?.nextElementSibling?.textContent ?? one.typed.to;
    const item = list.querySelector(`[data-id="${one.id}"]`) ?? document.createElement("li");
    item.dataset.id = one.id;
    const text = document.createElement("span");
    const pond = scale.querySelector(`input[name=pond][value="${CSS.escape(one.typed.pond ?? "")}"]`)?.nextElementSibling?.textContent ?? one.typed.pond ?? "";
    // What the scale showed, and what the basket weighs by itself: the board has the difference.
    const less = Number(number(one.typed.tare)) > 0 ? ` \u2212 ${one.typed.tare}` : "";
    text.textContent = `${pond}: ${one.typed.weight}${less} · ${chip}${one.typed.struck ? `, ${list.dataset.struck}` : ""}`;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = list.dataset.mend;
    button.setAttribute("aria-label", `${list.dataset.mend}: ${text.textContent}`);
    button.addEventListener("click", () => mend(one.head, one.typed));
    item.replaceChildren(text, " ", button);
    one.item = item;
  }
  list.querySelector("[data-none]")?.remove();
  list.prepend(...own.map((one) => one.item));
  while (list.children.length > LAST) list.lastElementChild.remove();
};

document.addEventListener("kept", (event) => {
  rest();
  showLast(event.detail.shelf);
  weight.focus({ preventScroll: true });
});
document.addEventListener("shelf", (event) => showLast(event.detail.shelf));
scale.dataset.ready = "yes";
