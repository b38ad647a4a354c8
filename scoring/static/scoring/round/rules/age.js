// How old an animal can be, in completed months: the same as scoring/rules/measured.py on a birth
// as yards/rules/identity.py reads it, "2014" or "2014-05-01"; held to fixtures/formula_cases.json.

// The earliest and the latest day of a birth, as [year, month, day].
export const born = (text) => {
  const [year, month, day] = text.split("-").map(Number);
  return [[year, month || 1, day || 1], [year, month || 12, day || 31]];
};

const months = ([year, month, day], on) => {
  const whole = (on[0] - year) * 12 + on[1] - month;
  return Math.max(0, whole - Number(on[2] < day));
};

// The fewest and the most completed months on a day of the calendar.
export const monthsOld = ([earliest, latest], today) => {
  const on = [today.getFullYear(), today.getMonth() + 1, today.getDate()];
  return [months(latest, on), months(earliest, on)];
};
