// Whether a weight lies so far from the last one that it has to be asked about. The same as
// scoring/rules/weight_last.py, which says whose limits these are; both are held to
// fixtures/last_weight_cases.json.

const QUARTER_DAYS = 91;
const [LEAST, MOST, DOUBLED] = [2, 5, 10];
const GROWN_MONTHS = 24;

// Weights to a tenth of a kilogram, as they are kept: compared in tenths, so that nothing is rounded.
const whole = (kg) => Math.round(Number(kg) * 10);

// months: the fewest that the animal can be old, null where that is not known.
export const isFar = (kg, lastKg, days, months = null) => {
  const [now, last] = [whole(kg), whole(lastKg)];
  let tenths = Math.min(MOST, LEAST + Math.floor(Math.max(0, days) / QUARTER_DAYS));
  if (now > last && months !== null && months < GROWN_MONTHS) tenths = DOUBLED;
  return Math.abs(now - last) * 10 > last * tenths;
};
