// A weight far from the last one is asked about, never refused: when its step is left, once for each
// such weight, and again in the sum until somebody has said that it is right. It is begun only when
// every region has its answer, since the last weight would sway the hand.

import { born, monthsOld } from "./rules/age.js";
import { shown, stored } from "./rules/units.js";
import { isFar } from "./rules/weight_last.js";
import { told } from "./values.js";

const DAY_MS = 86_400_000;
const SURE = "weight_is_right";
const made = (name, given) => Object.assign(document.createElement(name), given);

// last: of the last score, with weight_kg and weighed_at; null before the first.
export const begin = (page, last, sentences) => {
  const { form, horse } = page;
  const part = form.querySelector("[data-step=weight]");
  const unit = form.elements["unit.weighing.weight_kg"].value;
  const tick = () => form.elements[SURE];
  const months = horse.born ? monthsOld(born(horse.born), new Date())[0] : null;
  let asked = "";

  const kilograms = () => {
    const way = form.querySelector("[name='weighing.method']:checked")?.value;
    if (way === "formula") return Number(form.querySelector("[data-made]").dataset.kg) || null;
    const typed = way ? form.elements["weighing.weight_kg"].value.trim() : "";
    return (typed && Number(stored(typed, unit))) || null;
  };

  const question = (words) => {
    const kg = kilograms();
    if (!kg || !last?.weight_kg || !last.weighed_at) return "";
    const at = new Date(last.weighed_at);
    if (!isFar(kg, last.weight_kg, Math.floor((Date.now() - at) / DAY_MS), months)) return "";
    const on = new Intl.DateTimeFormat(document.documentElement.lang || undefined, { dateStyle: "medium" }).format(at);
    const said = (value) => `${shown(Number(value), unit)} ${unit}`;
    return told(words.far, { last: said(last.weight_kg), now: said(kg), on });
  };

  const show = (words, text) => {
    const line = form.querySelector("[data-far]") ?? made("div", { className: "note", tabIndex: -1 });
    const label = made("label", { className: "tick" });
    label.append(tick() ?? made("input", { type: "checkbox", name: SURE, value: "true" }), words.is_right);
    line.dataset.far = "";
    line.setAttribute("role", "alert");
    line.replaceChildren(made("p", { textContent: text }), label);
    part.append(line);
    line.focus({ preventScroll: true });
    line.scrollIntoView({ block: "center" });
  };

  const forget = (event) => {
    if (!event.target.name?.startsWith("weighing.")) return;
    if (tick()) tick().checked = false;
    form.querySelector("[data-far]")?.remove();
  };
  form.addEventListener("input", forget);

  // Whether it is asked now, so that the step is not left yet; once for each such weight.
  page.asks = async () => {
    const words = await sentences();
    const text = words ? question(words) : "";
    if (!text || text === asked || tick()?.checked) return false;
    asked = text;
    show(words, text);
    return true;
  };
  return (words) => (tick()?.checked ? "" : question(words));
};
