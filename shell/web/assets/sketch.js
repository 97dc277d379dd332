// @ts-check
// The pond drawn while one types. Reads the form's own fields; without it the button beside the drawing does the same.

const METRES = { ft: 0.3048, feet: 0.3048, "'": 0.3048, in: 0.0254, '"': 0.0254, m: 1, cm: 0.01, yd: 0.9144 };

/** Metres of what is typed, in the unit beside it where it has none; NaN when it cannot be read. */
export function metres(text, unit) {
  const plain = text.trim().replace(/,/g, "").toLowerCase();
  if (/^\d*\.?\d+$/.test(plain)) return Number(plain) * (METRES[unit] ?? NaN);
  let sum = 0;
  const left = plain.replace(/(\d*\.?\d+)\s*(feet|ft|in|cm|m|yd|'|")/g, (_, number, of) => { sum += Number(number) * METRES[of]; return ""; });
  return left.trim() === "" && plain !== "" ? sum : NaN;
}

/** @param {HTMLFormElement} form */
function keepUp(form) {
  const figure = /** @type {HTMLElement | null} */ (form.querySelector("figure.sketch"));
  if (!figure) return;
  const pond = form.dataset.sketch;
  const at = (name) => /** @type {HTMLInputElement | null} */ (form.querySelector(`[data-at="${pond}.${name}"]`));
  const unit = (name) => /** @type {HTMLSelectElement | null} */ (form.querySelector(`[data-unit="${pond}.${name}"]`))?.value ?? "ft";
  const part = (name) => figure.querySelector(`[data-${name}]`);
  figure.querySelector("button")?.setAttribute("hidden", "");
  const length = (name) => { const field = at(name); return field ? metres(field.value, unit(name)) : NaN; };
  const said = (name, fallback) => {
    const text = at(name)?.value.trim() ?? "";
    return text === "" ? fallback : /[a-z'"]/i.test(text) ? text : `${text} ${unit(name)}`;
  };
  const first = { shallow: part("shallow")?.textContent ?? "", deep: part("deep")?.textContent ?? "" };

  const draw = () => {
    const shallow = length("shallow_depth") || 0.9144, deep = length("deep_depth") || 1.8288;
    const deepest = Math.max(shallow, deep, 2.5);
    const down = (depth) => (30 + 54 * depth / deepest).toFixed(1);
    const floor = `L22 30 L38 ${down(shallow)} L304 ${down(deep)} L318 30`;
    part("water")?.setAttribute("d", `M22 30 ${floor} Z`);
    part("ground")?.setAttribute("d", `M0 96 L0 18 L14 18 ${floor} L326 18 L340 18 L340 96 Z`);
    const named = { shallow: said("shallow_depth", first.shallow), deep: said("deep_depth", first.deep) };
    part("shallow").textContent = named.shallow;
    part("deep").textContent = named.deep;
    const pace = length2("farm.pace") || Number(figure.dataset.pace);
    const side = (name, paces) => length(name) || Number(at(paces)?.value) * pace;
    const area = side("length", "paces_long") * side("width", "paces_wide");
    const words = /** @type {HTMLElement} */ (part("area"));
    const number = figure.dataset.metric ? String(Math.round(area / 10) * 10) : (area / 4046.8564224).toFixed(2);
    words.textContent = area > 0 ? words.dataset.said.replace(/0(\.00)?/, number) : "";
  };
  const length2 = (address) => {
    const field = /** @type {HTMLInputElement | null} */ (form.querySelector(`[data-at="${address}"]`));
    const beside = /** @type {HTMLSelectElement | null} */ (form.querySelector(`[data-unit="${address}"]`));
    return field ? metres(field.value, beside?.value ?? "ft") : NaN;
  };
  form.addEventListener("input", draw);
  draw();
}

for (const form of document.querySelectorAll("form[data-sketch]")) keepUp(/** @type {HTMLFormElement} */ (form));
