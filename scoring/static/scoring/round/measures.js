// The formula's answer to the measures, while they are typed. It is an estimate, with its likely
// error, and never offered as a dose.

import { born, monthsOld } from "./rules/age.js";
import { estimate, fields, fitting } from "./rules/formula.js";
import { shown, stored } from "./rules/units.js";
import { told } from "./values.js";

const made = (name, textContent) => Object.assign(document.createElement(name), { textContent });

const animalOf = ({ species, kind, sex, born: at, height_cm: tall, is_pregnant }) => ({
  species, kind: kind ?? "", sex: sex ?? "", is_pregnant: Boolean(is_pregnant),
  months: at ? monthsOld(born(at), new Date()) : null,
  height_cm: (tall ?? null) === null ? null : Number(tall),
});

// The formulas are in the shells, which a phone keeps; the page of one horse does without.
const formulas = async (box) => {
  if (box.dataset.formulas) return JSON.parse(box.dataset.formulas);
  const shell = await (await fetch(box.dataset.at)).text();
  const page = new DOMParser().parseFromString(shell, "text/html");
  return JSON.parse(page.querySelector("[data-formulas]").dataset.formulas);
};

// What is said of quantities: in the reader's units; the weight to the whole kilogram or pound.
const speaker = (form, data) => {
  const unit = (name) => form.elements[`unit.weighing.${name}`].value;
  const quantity = (name, value) => {
    const own = name.endsWith("kg") ? unit("weight_kg") : unit("measures.girth_cm");
    return `${shown(Number(value), own)} ${data.units[own]}`;
  };
  return {
    unit,
    whole: (kg) => {
      const own = unit("weight_kg");
      return `${Math.round(Number(shown(Number(kg), own)))} ${data.units[own]}`;
    },
    sentence: ({ key, params }) => told(data.words[key] ?? key, Object.fromEntries(
      Object.entries(params).map(([name, value]) =>
        [name, /(cm|kg)$/.test(name) ? quantity(name, value) : value]))),
  };
};

const hint = (control, text) => {
  const id = `${control.id}-lies`;
  let line = document.getElementById(id);
  if (!line) {
    line = Object.assign(made("p", ""), { id, className: "hint" });
    control.labels[0].after(line);
    const before = control.getAttribute("aria-describedby") ?? "";
    control.setAttribute("aria-describedby", `${before} ${id}`.trim());
  }
  line.textContent = text;
};

// Returns what shows the fields of the chosen formula and says what it makes of them.
export const ready = async ({ form, horse }) => {
  const box = form.querySelector("[data-made]").closest("[data-for]");
  const data = await formulas(box);
  const pick = form.elements["weighing.formula"];
  const out = box.querySelector("[data-made]");
  const animal = animalOf(horse);
  const speak = speaker(form, data);
  const field = (name) => form.elements[`weighing.measures.${name}`];
  const every = new Set([...box.querySelectorAll("[name^='weighing.measures.']")].map((each) => each.name.split(".").at(-1)));

  const offered = fitting(data, animal).map((row) => row.id);
  const chosen = pick.value;
  const options = Object.fromEntries([...pick.options].map((each) => [each.value, each]));
  pick.replaceChildren(...offered.map((id) => options[id]).filter(Boolean));
  pick.value = offered.includes(chosen) ? chosen : pick.options[0]?.value ?? "";

  const ask = (row) => {
    const taken = Object.fromEntries(row.measures.map((key) => [data.measures[key].field, data.measures[key]]));
    for (const name of every) {
      field(name).closest(".field").hidden = !taken[name];
      field(name).disabled = !taken[name];
      if (taken[name]) hint(field(name), taken[name].landmark);
    }
  };

  const typed = (row) => Object.fromEntries(fields(data, row).map((name) => {
    const text = field(name).value.trim();
    const kept = text && stored(text, speak.unit(`measures.${name}`));
    return [name, /^\d+(\.\d+)?$/.test(kept) ? Number(kept) : null];
  }));

  const answer = (row) => {
    out.dataset.kg = "";
    const given = typed(row);
    const missing = Object.keys(given).filter((name) => given[name] === null);
    if (missing.length) {
      const names = missing.map((name) => field(name).labels[0].textContent);
      return ["", told(data.words.wanting, { measures: names.join("; ") })];
    }
    const found = estimate(data, row.id, given, animal);
    if (!found.kg) return ["", ...found.faults.map(speak.sentence)];
    out.dataset.kg = found.kg;
    const means = data.meanings[found.meaning];
    return [
      told(data.words.made, { kg: speak.whole(found.kg), error: speak.whole(found.error) }),
      `${means[0].toUpperCase()}${means.slice(1)}.`,
      ...found.warnings.map(speak.sentence), data.words.caution,
    ];
  };

  return () => {
    const row = data.formulas.find((each) => each.id === pick.value);
    if (!row) return;
    ask(row);
    const [said, ...more] = answer(row);
    // Said again only when it is something else: a screen reader hears each change.
    if (out.dataset.now === `${said}${more}`) return;
    out.dataset.now = `${said}${more}`;
    out.replaceChildren(...(said ? [made("b", said)] : []), ...more.map((each) => made("span", each)));
  };
};
