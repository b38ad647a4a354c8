// What can be wrong with measures and a formula: faults forbid the estimate, warnings go with it.
// The same as scoring/rules/weight_guards.py. Ratios are compared in whole numbers, not divided.

import { rounded } from "./units.js";

const SEXES = ["mare", "gelding", "stallion"];
const fault = (field, key, params = {}) => ({ field, key, params });
const judged = (faults = [], warnings = [], isOfTheKind = true) => ({ faults, warnings, isOfTheKind });
const young = (row) => row.age_months[1] !== null;
// 27.5 as 275, "0.95" as 950: whole numbers, however they were written.
const tenths = (cm) => Math.round(Number(cm) * 10);
const thousandths = (ratio) => Math.round(Number(ratio) * 1000);

const fitsAge = (row, months) => {
  const [low, high] = row.age_months;
  if (!months) return young(row) ? null : true;
  const [least, most] = months;
  if (most < low || (high !== null && least > high)) return false;
  return least >= low && (high === null || most <= high) ? true : null;
};

export const ofAnimal = (row, animal) => {
  const of = (key, params) => fault("formula", key, params);
  const fat = row.sample.only_fat ? [of("formula_for_fat_animals")] : [];
  if (!animal) return judged([], fat);
  if (animal.species !== row.species) {
    return judged([of("formula_for_species", { species: row.species })], [], false);
  }
  const [faults, warnings] = [[], []];
  if (SEXES.includes(animal.sex) && row.sexes?.length && !row.sexes.includes(animal.sex)) {
    faults.push(of("formula_for_other_sex"));
  }
  if (animal.kind && row.kinds.length && !row.kinds.includes(animal.kind)) {
    warnings.push(of("formula_for_other_kinds"));
  }
  warnings.push(...fat);
  if (animal.is_pregnant && row.sample.not_pregnant) {
    warnings.push(of("formula_not_for_mares_in_foal"));
  }
  if (animal.is_pregnant && row.measures.includes("belly")) {
    warnings.push(fault("belly_girth_cm", "belly_girth_in_foal"));
  }
  const fits = fitsAge(row, animal.months);
  if (fits === null) warnings.push(of("age_not_known_for_formula"));
  else if (!fits) {
    const key = young(row) ? "formula_for_young_animals" : "formula_for_grown_animals";
    faults.push(of(key, { months: row.age_months[young(row) ? 1 : 0] }));
  }
  return judged(faults, warnings, fits !== false);
};

const kindsOf = (data, row, animal) => {
  if (young(row)) return [row.species === "horse" ? "foal" : "young_donkey"];
  if (animal?.kind) return [animal.kind];
  const all = Object.keys(data.ranges).filter((kind) =>
    row.species === "donkey" ? /_donkey$/.test(kind) && kind !== "young_donkey"
      : !/donkey$/.test(kind) && kind !== "foal");
  return row.kinds.length ? row.kinds : all;
};

// Where a measure can lie: by the animal's kind, or by all kinds of the formula.
const rangeOf = (data, row, key, animal) => {
  const { field } = data.measures[key];
  const found = kindsOf(data, row, animal).map((kind) => data.ranges[kind][key] ?? data.ranges[kind][field]);
  return [Math.min(...found.map(([low]) => low)), Math.max(...found.map(([, high]) => high))];
};

const plain = (cm) => String(Number(cm));

const sizeFault = (field, cm, [low, high]) => {
  if (cm >= low && cm <= high) return null;
  for (const [meant, key] of [[cm * 2.54, "looks_like_inches"], [cm / 2.54, "inches_taken_twice"]]) {
    if (meant >= low && meant <= high) {
      return fault(field, key, { cm: plain(cm), meant_cm: rounded(Number(meant.toFixed(9)), 1, true) });
    }
  }
  return fault(field, "measure_unlikely", { low_cm: String(low), high_cm: String(high) });
};

// The measures of a formula that there are; what is missing is not judged.
const given = (data, row, measures) =>
  row.measures.filter((key) => (measures[data.measures[key].field] ?? null) !== null);

// A warning where all measures may as well be the inches of a larger animal. A height on record
// tells them apart, by the ratio of the girth to it or by the height that was measured.
const perhapsInches = (data, row, measures, animal) => {
  const known = given(data, row, measures);
  const cmOf = (key) => measures[data.measures[key].field];
  const fits = known.every((key) => {
    const [low, high] = rangeOf(data, row, key, animal);
    return cmOf(key) * 2.54 >= low && cmOf(key) * 2.54 <= high;
  });
  if (!fits) return [];
  const recorded = young(row) ? null : animal?.height_cm ?? null;
  const height = measures.height_cm ?? null;
  if (recorded !== null) {
    if (height === null && known[0] === "girth") return [];
    if (height !== null && Math.abs(height * 2.54 - recorded) >= Math.abs(height - recorded)) return [];
  }
  const cm = cmOf(known[0]);
  const meant_cm = rounded(Number((cm * 2.54).toFixed(9)), 1, true);
  return [fault(data.measures[known[0]].field, "perhaps_inches", { cm: plain(cm), meant_cm })];
};

const misfit = (under, short, warning) => {
  if (under === "length_elbow" && !short) {
    return warning ? "length_perhaps_from_shoulder" : "length_from_shoulder";
  }
  if (["length_shoulder", "length_straight"].includes(under) && short) {
    return warning ? "length_perhaps_from_elbow" : "length_from_elbow";
  }
  return warning ? "measures_hardly_fit" : "measures_do_not_fit";
};

const ratioFault = (rule, field, over, under) => {
  const [top, per] = [tenths(over) * 1000, tenths(under)];
  for (const [name, warning] of [["possible", false], ["usual", true]]) {
    const [low, high] = rule[name].map(thousandths);
    if (top < low * per || top > high * per) {
      return [fault(field, misfit(rule.under, top > high * per, warning)), warning];
    }
  }
  return null;
};

const ratios = function* (data, row, measures, animal, bad) {
  const values = {};
  for (const key of given(data, row, measures)) {
    values[key] = [data.measures[key].field, measures[data.measures[key].field]];
  }
  if ((animal?.height_cm ?? null) !== null && !young(row)) {
    values.height ??= ["girth_cm", animal.height_cm];
  }
  for (const rule of data.ratios) {
    const [over, under] = [values[rule.over], values[rule.under]];
    if (rule.species !== row.species || !over || !under) continue;
    if (bad.has(over[0]) || bad.has(under[0])) continue;
    const found = ratioFault(rule, under[0], over[1], under[1]);
    if (found) yield found;
  }
};

export const ofMeasures = (data, row, measures, animal) => {
  const known = given(data, row, measures);
  const faults = known
    .map((key) => {
      const { field } = data.measures[key];
      return sizeFault(field, measures[field], rangeOf(data, row, key, animal));
    })
    .filter(Boolean);
  const bad = new Set(faults.map((each) => each.field));
  const warnings = [];
  for (const [found, warning] of ratios(data, row, measures, animal, bad)) {
    (warning ? warnings : faults).push(found);
  }
  if (!faults.length && known.length) warnings.push(...perhapsInches(data, row, measures, animal));
  const least = row.sample.height_cm?.[0] ?? null;
  const height = measures.height_cm ?? null;
  if (least !== null && height !== null && height < Number(least) && row.measures.includes("height")) {
    warnings.push(fault("height_cm", "shorter_than_sample", { cm: least }));
  }
  return judged(faults, warnings);
};

export const ofWeight = (data, row, kg) => {
  if (!row.sample.kg) return judged([], []);
  const [low, high] = row.sample.kg;
  const at = Number(kg);
  if (at >= Number(low) && at <= Number(high)) return judged([], []);
  const { refuse_below: below, refuse_above: above } = data.sample;
  // Hundredths of tenths: whole numbers again.
  const per = (end, share) => Math.round(Number(end) * 10) * Math.round(Number(share) * 100);
  const far = tenths(at) * 100 < per(low, below) || tenths(at) * 100 > per(high, above);
  const told = { kg, low_kg: low, high_kg: high };
  return far
    ? judged([fault("formula", "far_outside_sample", told)], [])
    : judged([], [fault("formula", "outside_sample", told)]);
};

// Whether no animal of a kind measures what those of a formula's kinds do.
export const isOfAnotherSize = (data, row, kind) => {
  if (!kind || !row.kinds.length || row.kinds.includes(kind)) return false;
  const own = data.ranges[kind] ?? {};
  return row.kinds.every((each) => Object.entries(data.ranges[each]).some(([name, [low, high]]) =>
    name in own && (own[name][1] < low || high < own[name][0])));
};
