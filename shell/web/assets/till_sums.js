// What a sale table's phone reckons: amounts, prices, what a line comes to, what is left. It knows no page, no clock and no network: the same words run
// in the simulation (`sim`).

const KG = { kg: 1, kilo: 1, lb: 0.45359237, lbs: 0.45359237, pound: 0.45359237, pounds: 0.45359237, oz: 0.45359237 / 16, g: 0.001 };
/** A number as a scale, a list or a habit writes it, with a point: what is kept must read the same on the farm. @param {string | undefined} text */
const tidied = (text) => (text ?? "").replace(/(\d),(?=\d{3}(?!\d))/g, "$1").replace(/(\d),(?=\d{1,2}(?!\d))/g, "$1.").replace(/(\d)\.(?!\d)/g, "$1");
/** A weight below nothing is one, so that it is refused and not sold. */
const number = (text) => Number((/(?:^\s*[-\u2212])?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)/.exec(tidied(text)) ?? [""])[0].replace("\u2212", "-").replace(/\s/g, ""));
const byPiece = (typed) => typed.sold_as === "piece";

/**
 * `unit` is that of a bare weight, `coins` how many make one of the currency, `known` the first letters of the marks that the farm had counted when
 * the page was made, `signs` how the farm's money may be written in a price.
 * @param {{ unit: string, coins: number, known: Set<string>, signs: string[] }} of
 */
const tillOf = ({ unit: bare, coins: perUnit, known, signs }) => {
  /** Kilograms of "2.35 lb". @param {string | undefined} text */
  const kilograms = (text) => {
    const unit = /([a-z]+)\s*$/i.exec(text ?? "")?.[1].toLowerCase();
    return text ? number(text) * (KG[unit] ?? KG[bare]) : 0;
  };
  /** The parts of a price: the sign or name of its money, its number, for what. Null where it is not a price whole. @param {string | undefined} text */
  const partsOf = (text) => {
    const found = /^([^\d.]*)(\d+(?:\.\d+)?|\.\d+)\s*(.*)$/.exec(tidied(text).toLowerCase().trim());
    const after = found && /^(.*?)\s*(?:(?:\/|per\s)\s*(kg|kilo|lbs?|pounds?|oz|g)|\/?\s*(each|apiece|a piece))$/.exec(found[3].trim());
    return after ? { sign: `${found[1].trim()}${after[1].trim()}`, amount: Number(found[2]), unit: after[2] } : null;
  };
  const isOwn = (sign) => sign === "" || signs.includes(sign);
  /** Whether a price is of another money than the farm's. @param {string | undefined} text */
  const isOther = (text) => { const parts = partsOf(text); return parts !== null && !isOwn(parts.sign) && /^(?:[a-z]{0,2}[^\w\s]|[a-z]{3})$/.test(parts.sign); };
  /** What a price says: coins for one kg or one piece; null where it lacks its unit, or is of another money. @param {string | undefined} text */
  const priceOf = (text) => {
    const parts = partsOf(text);
    if (!parts || !isOwn(parts.sign)) return null;
    const coins = parts.amount * (/^(?:cents?|¢)$/.test(parts.sign) ? 0.01 : 1) * perUnit;
    return parts.unit ? { each: false, coins: coins / KG[parts.unit] } : { each: true, coins };
  };
  /** kg or pieces of a line. */
  const amountOf = (typed) => {
    if (byPiece(typed)) return number(typed.pieces);
    const tare = kilograms(typed.tare);
    return tare < 0 ? 0 : kilograms(typed.amount) - tare;
  };
  /** Coins of a line, as the farm reckons them: a hair of floating point off, then one rounding. */
  const coinsOf = (typed) => {
    const price = priceOf(typed.price);
    if (!price || typed.struck) return 0;
    const coins = Math.round(Math.round(price.coins * amountOf(typed) * 1e6) / 1e6);
    return typed.takes_back ? -coins : coins;
  };
  /** Entries of this phone, each as it was mended last, and as the farm had counted it when the page was made. @param {object[]} facts */
  const fold = (facts) => {
    const chains = new Map();
    for (const fact of [...facts].sort((a, b) => a.typed_ms - b.typed_ms)) {
      const before = fact.corrects && [...chains.values()].find((one) => one.ids.has(fact.corrects));
      // It mends a line that another phone wrote: what the farm had counted for that is not known here, the next page will say.
      if (fact.corrects && !before) continue;
      const chain = before ?? { id: fact.id, ids: new Set(), kind: fact.kind, typed: {}, counted: null, at: fact.typed_ms };
      chain.ids.add(fact.id);
      chain.head = fact.id;
      chain.typed = fact.typed.struck ? { ...chain.typed, struck: "yes" } : fact.typed;
      if (known.has(fact.id.slice(0, 10))) chain.counted = chain.typed;
      chains.set(chain.id, chain);
    }
    return [...chains.values()];
  };
  /** What an entry takes from the table. */
  const takes = (kind, typed) => {
    if (!typed || typed.struck) return 0;
    const amount = amountOf(typed);
    if (kind === "handed") return typed.handed_back === "yes" ? amount : -amount;
    if (!typed.takes_back) return amount;
    return typed.sell_again === "yes" ? -amount : 0;
  };
  /** Whether an entry is of a good, and of its lot where the good names one. */
  const isOf = (good, typed) => typed.sold_as === good.sold_as && (typed.size ?? "") === good.size
    && (good.lot === undefined || (typed.lot ?? "").trim().toUpperCase() === good.lot);
  /** What is left of a good, kg or pieces. `left` is what the farm had counted. @param {{ sold_as: string, size: string, left: number }} good */
  const left = (good, own) => own.filter((one) => one.kind !== "paid").reduce((sum, one) => {
    const now = isOf(good, one.typed) ? takes(one.kind, one.typed) : 0;
    const before = one.counted && isOf(good, one.counted) ? takes(one.kind, one.counted) : 0;
    return sum - now + before;
  }, good.left);
  /** What this phone's lines gave of an order beyond what the farm had counted, kg or pieces. @param {string} order */
  const served = (order, own) => own.filter((one) => one.kind === "sale").reduce((sum, one) => {
    const given = (typed) => (typed?.of_order === order && !typed.struck ? amountOf(typed) * (typed.takes_back ? -1 : 1) : 0);
    return sum + given(one.typed) - given(one.counted);
  }, 0);
  return { priceOf, isOther, amountOf, coinsOf, fold, takes, isOf, left, served };
};
