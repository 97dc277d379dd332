// Where the phone keeps no page (a plain address on the farm's network), a link without signal would lose the page that stands open: it
// is followed only when the farm answers. Stands before other scripts, in one with them.

/** Another page of the farm, to be opened in this one's place. @param {MouseEvent} event */
const wayOn = (event) => {
  const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
  if (!link || link.download || event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey) return null;
  const to = new URL(link.href);
  const isHere = to.pathname === location.pathname && to.search === location.search;
  return to.origin === location.origin && !(isHere && to.hash) ? { link, to } : null;
};

/** @param {HTMLElement} notice says that the page was left open; it is put where the finger is. */
const stayOpen = (notice) => document.addEventListener("click", async (event) => {
  const on = wayOn(event);
  if (!on) return;
  event.preventDefault();
  try {
    await fetch(on.to, { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout ? AbortSignal.timeout(4000) : undefined });
    location.assign(on.to);
  } catch {
    (on.link.closest("nav, p, ul") ?? on.link).after(notice);
    notice.hidden = false;
  }
});
