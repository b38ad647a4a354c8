// What the answers come to, worked out on this phone once every region is answered.

import { phone } from "./phone.js";
import { BACK, REGIONS, summed } from "./rules/overall.js";
import { read, told, written } from "./values.js";

const halves = (text) => (text && text !== "not_safe" ? Math.round(Number(text) * 2) : null);
const made = (name, text, className = "") => Object.assign(document.createElement(name), { textContent: text, className });

const NOTED = ["by_eye", "crest", "appetite", "muscle", "coat", "rug_off", "held", "held_by", "limits", "note"];

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// The reading's scores in half points, from the form's values.
const scores = (values) => ({
  scale: values.scale,
  felt: Object.fromEntries(REGIONS.map((name) => [name, halves(values[`regions.${name}`])])),
  whole: halves(values.overall),
  pocket: values.fat_pocket ?? "none",
});

export const begin = (page) => {
  const { form, words, facts } = page;
  let facing = null;
  const slot = (name) => form.querySelector(`[data-sum=${name}]`);
  const put = (name, text) => {
    slot(name).textContent = text;
    slot(name).hidden = !text;
  };

  const lead = (sum) => {
    if (sum.mean === null) return [words.none, words.none_why];
    const half = written(sum.nearest);
    const nearest = told(words.nearest, { half });
    if (sum.pelvisLed === null) return [sum.mean, nearest];
    const pelvis = written(sum.pelvisLed);
    return facts.rule === "pelvis_led"
      ? [pelvis, words.pelvis, told(words.mean_beside, { mean: sum.mean, half })]
      : [sum.mean, nearest, "", told(words.pelvis_beside, { half: pelvis })];
  };

  // What the hand found at a step's places, as the form says it.
  const found = (name) => [...form.querySelectorAll(`[data-step=${name}] .side input:checked`)].map((radio) =>
    `${radio.closest("fieldset").querySelector("legend").lastChild.textContent.trim()}: ${radio.nextElementSibling.textContent.toLowerCase()}`).join("; ");

  // Several alike are told once; of three alike none is the fattest.
  const tie = ({ fattest }) => (fattest.length > 1 && fattest.length < REGIONS.length
    ? told(words.tie, { regions: new Intl.ListFormat(document.documentElement.lang || undefined).format(fattest.map((name) => words.steps[name])) })
    : "");

  // One line a region: its name, a point on the scale, what was felt and what counts.
  const line = (name, given, sum) => {
    const [felt, used] = [given.felt[name], sum.used[name]];
    const fattest = sum.fattest.length === 1 && sum.fattest[0] === name;
    const what = made("dd", "");
    const beam = made("i", "", fattest ? "beam on" : "beam");
    beam.setAttribute("aria-hidden", "true");
    const point = beam.appendChild(document.createElement("b"));
    if (used === null) what.append(words.unsafe);
    else {
      point.style.left = `${((used - facts.low) / (facts.high - facts.low)) * 100}%`;
      what.append(made("b", written(used)), beam);
      if (fattest) what.append(made("strong", words.fattest));
      const counted = { felt_score: written(felt), used_score: written(used) };
      if (used !== felt) what.append(made("p", told(words.pocket, counted)));
      else if (name === BACK && given.pocket === "marked") what.append(made("p", told(words.pocket_most, counted)));
    }
    return [made("dt", capital(words.steps[name])), what];
  };

  // Folded away with the other rule: every step has shown its own.
  const findings = () => {
    const told = [...REGIONS, "overall"].map((name) => [name, found(name)]).filter(([, hand]) => hand);
    slot("found").replaceChildren(...told.map(([name, hand]) => {
      const row = made("li", "");
      row.append(made("b", capital(words.steps[name])), ` ${hand}`);
      return row;
    }));
    slot("found").parentElement.hidden = !told.length && slot("pelvis").hidden;
  };

  const fact = (name, text, link = "") => {
    const what = made("dd", "");
    if (!link) what.textContent = text;
    else what.append(Object.assign(made("a", text), { href: `#${link}` }));
    return [made("dt", name), what];
  };

  const danger = (values) => {
    const seen = [].concat(values.danger_signs ?? []).length;
    if (seen) return fact(words.danger, told(words.danger_some, { n: seen }), "danger");
    return values.looked_for_danger ? fact(words.danger, words.danger_none) : fact(words.danger, words.danger_not, "danger");
  };

  const weight = (values) => {
    const way = form.querySelector("[name='weighing.method']:checked");
    if (!way?.value) return words.not_weighed;
    const how = way.nextElementSibling.textContent;
    const unit = form.elements["unit.weighing.weight_kg"].value;
    const typed = values["weighing.weight_kg"]?.trim();
    const figure = way.value === "formula" ? form.querySelector("[data-made] b")?.textContent : typed && `${typed} ${unit}`;
    if (!figure) return `${how}: ${words.no_figure}`;
    return `${figure}, ${how.toLowerCase()}`;
  };

  const weighed = (values) => {
    const row = fact(words.weight, weight(values));
    const way = values["weighing.method"];
    if (way && way !== "weighbridge") row[1].append(made("p", words.estimate));
    return row;
  };

  const alert = ({ title, advice }) => {
    const item = made("li", "");
    item.append(made("b", capital(title)), ` ${advice}`);
    return item;
  };

  // What was chosen or written under a name, as the form calls and says it.
  const answered = (name) => {
    const control = form.querySelector(`[name=${name}]:checked`) ?? form.querySelector(`[name=${name}]:not([type=radio])`);
    // Whose name is given held it.
    if (!control?.value.trim() || (name === "held" && form.elements.held_by.value.trim())) return [];
    const isRadio = control.type === "radio";
    const title = isRadio ? control.closest("fieldset").querySelector("legend") : control.labels[0];
    const text = isRadio ? control.nextElementSibling.textContent : control.selectedOptions?.[0].textContent ?? control.value;
    return fact(title.textContent.trim(), text.trim());
  };

  const around = (values) => {
    const manner = form.querySelector("[name=manner]:checked")?.nextElementSibling.textContent ?? "";
    const photos = page.keeper.photos.length;
    return [
      ...danger(values),
      ...(values.manner === "visual" ? fact(words.manner, manner) : []), ...weighed(values),
      ...NOTED.flatMap(answered),
      ...(photos ? fact(words.photo_count, String(photos)) : []),
    ];
  };

  // Of a horse that was not taken along this phone knows nothing, and fetches nothing.
  const open = async () => {
    const store = await phone.store();
    const after = await Promise.resolve(store?.get("after", page.horse.id)).catch(() => null);
    return after ? (await import("./facing.js")).begin(page, after) : () => none;
  };
  const opened = () => { facing ??= open().catch(() => { facing = null; return () => none; }); return facing; };

  const none = { place: "", band: "", byMean: "", rows: [], alerts: [] };
  const face = (known, sum) => {
    put("place", known.place);
    put("band", known.band);
    put("by-mean", sum.pelvisLed !== null && facts.rule === "pelvis_led" ? known.byMean : "");
    slot("alerts").replaceChildren(...known.alerts.map(alert));
    slot("facts").prepend(...known.rows.flatMap((row) => fact(...row)));
  };

  let turns = 0;
  const show = async () => {
    const turn = ++turns;
    const values = read(form);
    const given = scores(values);
    const sum = summed(given);
    const missing = page.unanswered();
    const whole = !missing.length;
    const [big, what, beside = "", pelvis = ""] = whole ? lead(sum) : ["", ""];
    put("lead", big);
    put("what", what);
    put("beside", beside);
    put("pelvis", pelvis);
    put("missing", whole ? "" : told(words.missing, { steps: missing.map((name) => words.steps[name]).join(", ") }));
    put("tie", whole ? tie(sum) : "");
    slot("regions").replaceChildren(...(given.scale === "five" && whole ? REGIONS.flatMap((name) => line(name, given, sum)) : []));
    slot("facts").replaceChildren(...around(values));
    findings();
    face(none, sum);
    if (!whole) return;
    const [known, far] = [await (await opened())(sum, given.scale), await page.far()];
    // Shown again meanwhile, this is of what is no longer in sight.
    if (turn === turns) face({ ...known, rows: [...(far ? [far] : []), ...known.rows] }, sum);
  };
  form.addEventListener("step", ({ detail }) => {
    // Ahead of time where the way is long: the last region has its score, the sum is not in sight yet.
    if (!page.unanswered().length) opened();
    if (detail === "summary") show();
  });
};
