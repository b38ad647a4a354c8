// A weight far from the last one is asked about, never refused: as soon as it stands, when its step is
// left, and again in the sum until somebody has said that it is right. It is begun only when every
// region has its answer, since the last weight would sway the hand.

import { phone } from "./phone.js";
import { born, monthsOld } from "./rules/age.js";
import { shown, stored } from "./rules/units.js";
import { isFar } from "./rules/weight_last.js";
import { told } from "./values.js";

const DAY_MS = 86_400_000;
const SURE = "weight_is_right";
const FIELD = "weighing.weight_kg";
// After the last key, and after a field is left: what a thumb is pressing meanwhile must not move.
const [TYPED_MS, LEFT_MS, PATIENCE_MS] = [1000, 300, 3000];
const made = (name, given) => Object.assign(document.createElement(name), given);

// What is said once every region has its answer, asked for only then and once a page.
export const sentences = (page) => {
  const { facing } = page.form.querySelector("[data-facing]").dataset;
  page.saying ??= fetch(facing).then((answer) => answer.json()).catch(() => { page.saying = null; return null; });
  return page.saying;
};

// The last score, with weight_kg and weighed_at, null before the first: as this phone took it along,
// else as the server has it. Where neither answers, the server asks once the score is saved.
const lastOf = async ({ id, yard }) => {
  const store = await phone.store();
  const kept = await Promise.resolve(store?.get("after", id)).catch(() => null);
  if (kept) return kept.last;
  const answer = await fetch(`/api/v1/rounds/${yard.id}/after/`, { signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => null);
  const { horses } = answer?.ok ? await answer.json() : { horses: [] };
  return horses.find((each) => each.id === id)?.last ?? null;
};

export const begin = async (page) => {
  const { form, horse } = page;
  const tick = () => form.elements[SURE];
  // A form that came back with this very question: it is answered by the tick or by another weight,
  // also while the last weight is still asked for.
  let isBack = Boolean(tick());
  const settle = () => {
    if (!isBack) return;
    isBack = false;
    document.getElementById("faults")?.remove();
    document.getElementById(`${FIELD}-fault`)?.remove();
    form.elements[FIELD].removeAttribute("aria-invalid");
  };
  if (tick()?.checked) settle();
  form.addEventListener("change", ({ target }) => {
    if (target.name === SURE && target.checked) settle();
  });
  const [last, words] = await Promise.all([lastOf(horse), sentences(page)]);
  const unit = form.elements[`unit.${FIELD}`].value;
  const months = horse.born ? monthsOld(born(horse.born), new Date())[0] : null;
  let [asked, timer] = ["", 0];

  const kilograms = () => {
    const way = form.querySelector("[name='weighing.method']:checked")?.value;
    if (way === "formula") return Number(form.querySelector("[data-made]").dataset.kg) || null;
    const typed = way ? form.elements[FIELD].value.trim() : "";
    return (typed && Number(stored(typed, unit))) || null;
  };

  const question = () => {
    const kg = kilograms();
    if (!words || !kg || !last?.weight_kg || !last.weighed_at || tick()?.checked) return "";
    const at = new Date(last.weighed_at);
    if (!isFar(kg, last.weight_kg, Math.floor((Date.now() - at) / DAY_MS), months)) return "";
    const on = new Intl.DateTimeFormat(document.documentElement.lang || undefined, { dateStyle: "medium" }).format(at);
    const said = (value) => `${shown(Number(value), unit)} ${unit}`;
    return told(words.far, { last: said(last.weight_kg), now: said(kg), on });
  };

  const show = (text) => {
    const line = form.querySelector("[data-far]") ?? made("div", { className: "note" });
    const label = made("label", { className: "tick" });
    label.append(tick() ?? made("input", { type: "checkbox", name: SURE, value: "true" }), words.is_right);
    line.dataset.far = "";
    line.tabIndex = -1;
    line.setAttribute("role", "alert");
    line.replaceChildren(made("p", { textContent: text }), label);
    form.querySelector("[data-for=formula]").after(line);
    return line;
  };

  // Whether it is asked now; once for each such weight.
  const ask = () => {
    const text = isBack ? "" : question();
    if (!text || text === asked) return null;
    asked = text;
    return show(text);
  };

  const soon = (ms) => { clearTimeout(timer); timer = setTimeout(ask, ms); };
  form.addEventListener("input", ({ target }) => {
    if (!target.name?.startsWith("weighing.")) return;
    asked = "";
    form.querySelector("[data-far]")?.remove();
    settle();
    soon(TYPED_MS);
  });
  form.addEventListener("change", ({ target }) => {
    if (target.name?.startsWith("weighing.")) soon(LEFT_MS);
  });

  ask();
  return {
    // So that the step is not left yet.
    asks: () => {
      clearTimeout(timer);
      const line = ask();
      line?.focus({ preventScroll: true });
      line?.scrollIntoView({ block: "center" });
      return Boolean(line);
    },
    // The line of the sum.
    row: () => {
      const text = question();
      return text && [words.is_it, text, FIELD];
    },
  };
};
