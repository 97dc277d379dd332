// What waits on the phone, and how it is sent: each entry is kept before it is sent, and sending twice is safe, for the mark is made
// here and the farm knows it again. No page, no clock and no network of its own: the same words run in the simulation (`sim`).

/**
 * `under` is the epoch of the farm's record that answered, `had_ms` the farm's clock then, `at` the phone's.
 * @typedef {{ id: string, state: "waiting" | "had" | "differs" | "refused", at: number, text: string, fact: object,
 *   under?: string, had_ms?: number, blob?: Blob, put?: boolean, keepPlace?: boolean }} Kept
 */
const THIRTY_DAYS_MS = 30 * 24 * 3600 * 1000;
const AT_ONCE = 100;

/** What an answer changes on the shelf. @param {Set<string>} sent @param {number} nowMs */
const heard = (said, sent, nowMs) => (entries, told) => {
  const states = { made: "had", already_had: "had", differs: "differs", refused: "refused" };
  const answers = new Map(said.answers.map((one) => [one.id, states[one.answer]]));
  const wanted = new Set(said.answers.filter((one) => one.answer === "wants_bytes").map((one) => one.id));
  const [put, drop] = [[], []];
  for (const one of entries) {
    const state = sent.has(one.id) ? answers.get(one.id) : undefined;
    if (state) {
      put.push({ ...one, state, under: said.epoch, had_ms: said.clock_ms, at: nowMs });
    } else if (one.state === "waiting") {
      // Its photo went with a restore after it was sent.
      if (sent.has(one.id) && wanted.has(one.id)) put.push({ ...one, put: false });
    } else if ((one.under ?? told.epoch ?? said.epoch) !== said.epoch) {
      // The farm's record was restored: it may lack what it had answered for. Each entry remembers under which epoch that was, so
      // it does not matter which tab hears of a new one first, nor how late an older answer comes.
      put.push({ ...one, state: "waiting", put: false });
    } else if (one.had_ms === undefined || one.under === undefined) {
      // Kept by an earlier program: its thirty days begin now.
      put.push({ ...one, under: said.epoch, had_ms: said.clock_ms });
    } else if (one.state === "had" && said.clock_ms - one.had_ms > THIRTY_DAYS_MS && nowMs - one.at > THIRTY_DAYS_MS) {
      // By the farm's clock and by the phone's: one that was set wrong takes nothing away.
      drop.push(one.id);
    }
  }
  return { put, drop, told: { epoch: said.epoch } };
};

/**
 * `post` sends a body and gives { status, said }; `photo` the bytes of one entry and gives { status, digest }.
 * @param {{ shelf: object, device: () => Promise<string>, now: () => number, post: (body: object) => Promise<object>,
 *   photo: (one: Kept) => Promise<object>, shut?: (is: boolean) => void }} world
 */
const senderOf = ({ shelf, device, now, post, photo, shut = () => {} }) => {
  const waiting = (entries) => entries.filter((one) => one.state === "waiting");
  const change = (id, more) => shelf.change((entries) => ({ put: entries.filter((one) => one.id === id).map(more) }));

  /** Bytes of photos go first: an entry that names a photo is sent once the farm has it. */
  const putPhotos = async (batch) => {
    for (const { id } of batch.filter((one) => one.blob && !one.put)) {
      const one = batch.find((other) => other.id === id);
      const { status, digest } = await photo(one);
      if (status === 200) {
        await change(id, (kept) => ({ ...kept, put: true, fact: { ...kept.fact, typed: { ...kept.fact.typed, photo: digest } } }));
      } else if ([413, 415, 422].includes(status)) {
        await change(id, (kept) => ({ ...kept, state: "refused", at: now() }));
      } else {
        shut(status === 401 || status === 403);
        throw new Error(String(status));
      }
    }
    const ids = new Set(batch.map((one) => one.id));
    return waiting(await shelf.all()).filter((one) => ids.has(one.id) && (!one.blob || one.put));
  };

  const send = async () => {
    let [most, again] = [AT_ONCE, true];
    for (;;) {
      const batch = await putPhotos(waiting(await shelf.all()).slice(0, most));
      const body = { schema: "warmspell.sync", version: 1, device: await device(), clock_ms: now(),
        epoch: (await shelf.told("epoch")) ?? null, facts: batch.map((one) => one.fact) };
      const { status, said } = await post(body);
      // Shut out: what waits stays, and the page says so.
      shut(status === 401 || status === 403);
      if (status === 413 && most > 1) {
        most = Math.ceil(most / 2);
        continue;
      }
      if (status !== 200) throw new Error(String(status));
      await shelf.change(heard(said, new Set(batch.map((one) => one.id)), now()));
      const left = waiting(await shelf.all());
      if (again && said.answers.some((one) => one.answer === "wants_bytes")) {
        again = false;
        continue;
      }
      // A farm that answers without answering for an entry would be asked for ever.
      if (left.length === 0 || (batch.length > 0 && left.every((one) => batch.some((sent) => sent.id === one.id)))) return;
    }
  };

  let sending = null;
  /** Sends what waits; true when the farm answered for all of it. */
  const sendAll = () => {
    sending ??= send().then(() => true, () => false).finally(() => { sending = null; });
    return sending;
  };
  /** Returns when the phone has the entry on its disk. @param {Kept} one */
  const keep = (one) => shelf.change(() => ({ put: [one] }));
  /** A person has seen what the farm said of it. */
  const away = (id) => change(id, (one) => (one.state === "waiting" ? one : { ...one, state: "had" }));
  return { keep, away, sendAll };
};
