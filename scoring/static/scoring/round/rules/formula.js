// A weight from measures by a published formula: always an estimate, with its likely error. The
// same as scoring/rules/weight.py, weight_guards.py and weight_shapes.py, on data of the shape of
// fixtures/weight_formulas.json and weight_guards.json; held to fixtures/formula_cases.json.

import { isOfAnotherSize, ofAnimal, ofMeasures, ofWeight } from "./formula_guards.js";
import { rounded } from "./units.js";

const [CM_PER_IN, KG_PER_LB] = [2.54, 0.45359237];
const [LEAST_KG, MOST_KG] = [5, 1500];

const FORMS = {
  product: (shape, cm) => {
    const [unit, mass] = shape.units === "in_lb" ? [CM_PER_IN, KG_PER_LB] : [1, 1];
    const powers = Object.entries(shape.powers);
    const made = powers.reduce((so, [name, power]) => so * (cm[name] / unit) ** power, shape.factor ?? 1);
    return (made / shape.divisor) * mass;
  },
  linear: (shape, cm) =>
    Object.entries(shape.terms).reduce((so, [name, times]) => so + times * cm[name], shape.constant),
  polynomial: (shape, cm) =>
    shape.terms.reduce((so, weight, power) => so + weight * cm[shape.of] ** power, 0),
  // Trunk and forelegs as cylinders, in cubic metres; one line below a volume, another above.
  trunk_and_legs: (shape, cm) => {
    const metres = (name) => cm[name] / 100;
    const legs = 4 * metres("carpus_cm") ** 2 * metres("forelimb_cm");
    const volume = (metres("girth_cm") ** 2 * metres("length_cm") + legs) / (4 * Math.PI);
    return volume < shape.break_m3 ? volume * shape.below : volume * shape.above + shape.plus;
  },
};

const fault = (field, key, params = {}) => ({ field, key, params });
const refused = (faults) => ({ kg: null, error: null, meaning: "", faults, warnings: [] });
export const fields = (data, row) => row.measures.map((key) => data.measures[key].field);

const errorAt = (row, height) => {
  const any = (each) => each.height_from_cm === undefined && each.height_below_cm === undefined;
  if (height === null) return row.error.find(any);
  return row.error.find((each) =>
    height >= Number(each.height_from_cm ?? 0) && height < Number(each.height_below_cm ?? Infinity));
};

// data: formulas, measures and guards; measures: centimetres by field, null where none is given;
// animal: {species, kind, sex, height_cm, months, is_pregnant} or null. Numbers come back as text.
export const estimate = (data, id, measures, animal = null) => {
  const row = data.formulas.find((each) => each.id === id);
  if (!row) return refused([fault("formula", "unknown_formula")]);
  const missing = fields(data, row).filter((name) => (measures[name] ?? null) === null);
  const who = ofAnimal(row, animal);
  // Under a formula for another species or age its ranges say nothing of the measures.
  const what = who.isOfTheKind ? ofMeasures(data, row, measures, animal) : { faults: [], warnings: [] };
  const faults = [...who.faults, ...missing.map((name) => fault(name, "required")), ...what.faults];
  if (faults.length) return refused(faults);
  const made = FORMS[row.shape.form](row.shape, measures);
  if (!(made >= LEAST_KG && made <= MOST_KG)) {
    return refused([fault("formula", "formula_gives_no_weight")]);
  }
  const kg = rounded(made, 1);
  const beyond = ofWeight(data, row, kg);
  if (beyond.faults.length) return refused(beyond.faults);
  const used = row.measures.some((key) => data.measures[key].field === "height_cm");
  const error = errorAt(row, used ? measures.height_cm : animal?.height_cm ?? null);
  const share = () => rounded(Number(((Number(kg) * Number(error.percent)) / 100).toFixed(9)), 1);
  return {
    kg,
    error: error.kg ? rounded(Number(error.kg), error.kg.includes(".") ? 1 : 0) : share(),
    meaning: error.meaning,
    faults: [],
    warnings: [...who.warnings, ...what.warnings, ...beyond.warnings],
  };
};

// The formulas for an animal, those made on its kind first, on fat animals only last; of no known
// age, those for grown ones. One made on a kind of another size is left out.
export const fitting = (data, animal) => {
  const meant = data.formulas.filter((row) => !ofAnimal(row, animal).faults.length
    && !isOfAnotherSize(data, row, animal.kind) && (animal.months || row.age_months[1] === null));
  const isOther = (row) => animal.kind && row.kinds.length && !row.kinds.includes(animal.kind);
  const late = (row) => (row.sample.only_fat ? 2 : 0) + (isOther(row) ? 1 : 0);
  return meant.map((row, at) => [late(row), at, row]).sort((a, b) => a[0] - b[0] || a[1] - b[1])
    .map(([, , row]) => row);
};
