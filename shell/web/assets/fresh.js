// A page that changes with its answer: asks now and then whether there is a newer one and puts it in place, with what was opened,
// where one stood and what had the focus. What somebody is typing is never replaced: then a line says that a newer answer is there.
const QUIET_MS = 20_000;
const main = document.querySelector("main");
const newer = document.querySelector("[data-newer]");
const away = document.querySelector("[data-away]");
// It may stand within what is put in place anew: it goes back to the head first.
const stay = document.querySelector("[data-stay]");

/** The page's own text without its age, which alone is no news. */
const told = (root) => {
  const copy = root.cloneNode(true);
  for (const age of copy.querySelectorAll(".age, input[type=hidden]")) age.remove();
  return copy.innerHTML;
};
let last = told(main);
let again = document.body.dataset.again ?? "";

const typed = () => [...main.querySelectorAll("input:not([type=hidden]), textarea, select")].some((field) => {
  if (field === document.activeElement && field.value) return true;
  if (field instanceof HTMLSelectElement) return [...field.options].some((one) => one.selected !== one.defaultSelected && field.selectedIndex > 0);
  if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
  return field.value !== field.defaultValue;
});

/** What tells an element again after it was drawn anew. */
const mark = (one) => one.id || one.getAttribute("href") || `${one.tagName}:${one.closest("[id]")?.id}:${one.textContent.trim().slice(0, 24)}`;

const put = (fresh) => {
  const opened = new Set([...main.querySelectorAll("details[open] > summary")].map(mark));
  const held = main.contains(document.activeElement) ? mark(document.activeElement) : null;
  const { scrollX, scrollY } = window;
  main.replaceChildren(...fresh.childNodes);
  for (const summary of main.querySelectorAll("details > summary")) if (opened.has(mark(summary))) summary.parentElement.open = true;
  if (held) [...main.querySelectorAll("a, button, summary, input, select")].find((one) => mark(one) === held)?.focus({ preventScroll: true });
  window.scrollTo(scrollX, scrollY);
};

const look = async () => {
  const url = new URL(location.href);
  url.hash = "";
  try {
    const answer = await fetch(url, { cache: "no-cache" });
    // The phone was shut out meanwhile: the way in is shown, not an old page.
    if (answer.status === 401) return location.reload();
    if (!answer.ok) throw new Error(String(answer.status));
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    if (!fresh) throw new Error("no page");
    away.hidden = true;
    stay.hidden = true;
    away.after(stay);
    again = page.body.dataset.again ?? "";
    document.body.dataset.again = again;
    if (typed()) {
      if (told(fresh) !== last) newer.hidden = false;
      return undefined;
    }
    newer.hidden = true;
    last = told(fresh);
    if (fresh.innerHTML !== main.innerHTML) put(fresh);
    const day = page.querySelector(".mast .day");
    if (day) document.querySelector(".mast .day").textContent = day.textContent;
    document.title = page.title;
  } catch { away.hidden = false; }
  return undefined;
};

const turn = async () => {
  if (document.visibilityState === "visible") await look();
  setTimeout(turn, again ? 1000 * Number.parseFloat(again) : QUIET_MS);
};
setTimeout(turn, again ? 1000 * Number.parseFloat(again) : QUIET_MS);
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") look(); });
if (!window.isSecureContext) stayOpen(stay);
document.body.dataset.fresh = "yes";
