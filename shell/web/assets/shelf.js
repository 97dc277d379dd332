// The phone's own shelf: entries and what is known of the farm, on its disk. One for each farm: its entries are never sent to another.

/** @param {IDBRequest | IDBTransaction} asked */
const done = (asked) => new Promise((resolve, reject) => {
  if (asked instanceof IDBTransaction) {
    asked.oncomplete = () => resolve(undefined);
    asked.onabort = () => reject(asked.error);
  } else {
    asked.onsuccess = () => resolve(asked.result);
  }
  asked.onerror = () => reject(asked.error);
});

/** @param {string} farm */
const shelfOf = (farm) => {
  let opening;
  const open = () => {
    opening ??= (() => {
      const asked = indexedDB.open(`outbox:${farm}`, 1);
      asked.onupgradeneeded = () => {
        asked.result.createObjectStore("entries", { keyPath: "id" });
        asked.result.createObjectStore("told");
      };
      return done(asked);
    })();
    return opening;
  };
  const all = async () => done((await open()).transaction("entries").objectStore("entries").getAll());
  const told = async (key) => done((await open()).transaction("told").objectStore("told").get(key));
  /**
   * Looks and changes in one transaction, so that another tab comes wholly before it or wholly after; returns when the phone has it
   * on its disk.
   * @param {(entries: Kept[], told: object) => { put?: Kept[], drop?: string[], told?: object }} judge
   */
  const change = async (judge) => {
    const work = (await open()).transaction(["entries", "told"], "readwrite", { durability: "strict" });
    const over = done(work);
    const [entries, keys] = [work.objectStore("entries"), work.objectStore("told")];
    const known = {};
    ["epoch", "device"].forEach((key) => { keys.get(key).onsuccess = (event) => { known[key] = event.target.result; }; });
    // Requests of one transaction are answered in their order: what is known is here before the entries are.
    entries.getAll().onsuccess = (event) => {
      const { put = [], drop = [], told: more = {} } = judge(event.target.result, known);
      put.forEach((one) => entries.put(one));
      drop.forEach((id) => entries.delete(id));
      Object.entries(more).forEach(([key, value]) => keys.put(value, key));
    };
    return over;
  };
  return { all, told, change };
};
