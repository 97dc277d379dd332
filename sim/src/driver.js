// Tabs of phones around the very script that phones run (sender.js stands before this). Whatever a tab asks of its world waits until
// the simulation answers it, in whatever order that is.
const tabs = new Map();
const open = new Map();
let [asked, ended, marks, nowMs] = [[], [], 0, 0];

const ask = (tab, what, more = {}) => new Promise((resolve, reject) => {
  marks += 1;
  open.set(marks, { tab, resolve, reject, judge: more.judge });
  asked.push({ n: marks, tab, what, body: more.body === undefined ? null : JSON.stringify(more.body) });
});

const acts = {
  open: ({ tab, device }) => {
    const shelf = { all: () => ask(tab, "all"), told: (key) => ask(tab, "told", { body: key }), change: (judge) => ask(tab, "change", { judge }) };
    tabs.set(tab, senderOf({ shelf, device: async () => device, now: () => nowMs, post: (body) => ask(tab, "post", { body }),
      photo: (one) => ask(tab, "photo", { body: one.blob }) }));
  },
  close: ({ tab }) => {
    tabs.delete(tab);
    for (const [n, one] of open) if (one.tab === tab) open.delete(n);
  },
  keep: ({ tab, one }) => {
    const told = (ok) => { ended.push({ tab, what: "keep", id: one.id, ok }); };
    tabs.get(tab).keep(one).then(() => told(true), () => told(false));
  },
  send: ({ tab }) => { tabs.get(tab).sendAll().then((ok) => { ended.push({ tab, what: "send", id: null, ok }); }); },
  judge: ({ n, entries, told }) => open.get(n).judge(entries, told),
  settle: ({ n, ok, value }) => {
    const one = open.get(n);
    open.delete(n);
    if (!one) return;
    if (ok) one.resolve(value); else one.reject(new Error("no"));
  },
  heard: () => {
    const said = { asked, ended };
    [asked, ended] = [[], []];
    return said;
  },
};
globalThis.tell = (text) => {
  const told = JSON.parse(text);
  nowMs = told.now_ms ?? nowMs;
  return JSON.stringify(acts[told.act](told) ?? null);
};
