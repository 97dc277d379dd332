// Keeps the log's pages on the phone once they were visited. Pages try the network for a moment, then the kept copy; instead of any
// other page of the farm, one that says it is out of reach and what can be done here.
const NAME = `pages:${new URL("./", location.href).pathname}`;
const HERE = new URL("./", location.href).pathname;
const BRIEFLY_MS = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const keeps = ({ pathname }) => pathname.startsWith("/assets/") || pathname === `${HERE}log` || pathname === `${HERE}log/new` || pathname === `${HERE}log/photo` || pathname === `${HERE}log/away`
  || (pathname.startsWith(`${HERE}log/`) && pathname.endsWith("/mend"))
  || pathname === `${HERE}sale` || pathname.startsWith(`${HERE}sale/table/`)
  || ["scale", "edge", "cold", "table", "watch", "people", "close"].some((one) => pathname === `${HERE}harvest/${one}`);

// The page says what it is made of; the answer tells it that all of it is kept.
self.addEventListener("message", (event) => {
  const [port] = event.ports;
  event.waitUntil((async () => {
    const cache = await caches.open(NAME);
    const urls = event.data.keep.filter((url) => keeps(new URL(url, location.href)));
    const wanted = urls.filter((url) => url);
    try {
      await Promise.all(wanted.map(async (url) => {
        if (new URL(url, location.href).pathname.startsWith("/assets/") && await cache.match(url)) return;
        const answer = await fetch(url);
        if (!answer.ok) throw new Error(url);
        await cache.put(url, answer);
      }));
      // Styles and scripts of an earlier program go once the new ones are here.
      const paths = new Set(wanted.map((url) => new URL(url, location.href).pathname));
      for (const old of await cache.keys()) {
        const { pathname } = new URL(old.url);
        if (pathname.startsWith("/assets/") && !paths.has(pathname)) await cache.delete(old);
      }
      port.postMessage("kept");
    } catch { port.postMessage("not yet"); }
  })());
});

const fromNetwork = async (request, cache) => {
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected) await cache.put(request, answer.clone());
  return answer;
};

/** A kept page of the same address and the same kind of entry: another pond's form will do, another kind's will not. */
const alike = async (cache, request) => {
  const asked = new URL(request.url);
  for (const one of await cache.keys()) {
    const url = new URL(one.url);
    if (url.pathname === asked.pathname && url.searchParams.get("kind") === asked.searchParams.get("kind")) return cache.match(one);
  }
  return undefined;
};

const page = async (request) => {
  const cache = await caches.open(NAME);
  const network = fromNetwork(request, cache);
  const kept = async () => (await cache.match(request)) ?? alike(cache, request);
  const late = new Promise((resolve) => { setTimeout(resolve, BRIEFLY_MS); }).then(kept);
  try {
    return (await Promise.race([network, late])) ?? await network;
  } catch (error) {
    const copy = await kept();
    if (copy) return copy;
    throw error;
  }
};

const orAway = async (request) => {
  try {
    return await fetch(request);
  } catch (error) {
    const away = await (await caches.open(NAME)).match(`${HERE}log/away`);
    if (away) return away;
    throw error;
  }
};

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (!keeps(url)) {
    if (event.request.mode === "navigate" && url.pathname.startsWith(HERE)) event.respondWith(orAway(event.request));
    return;
  }
  if (url.pathname.startsWith("/assets/")) {
    event.respondWith((async () => {
      const cache = await caches.open(NAME);
      return (await cache.match(event.request)) ?? fromNetwork(event.request, cache);
    })());
  } else {
    event.respondWith(page(event.request));
  }
});
