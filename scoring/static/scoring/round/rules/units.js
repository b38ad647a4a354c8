// Units that people write, kept in kilograms and centimetres: the same as yards/rules/units.py,
// held to fixtures/unit_cases.json. Lengths of a tape are in cm or in, weights in kg or lb.

const PER = { kg: 1, cm: 1, lb: 0.45359237, in: 2.54 };

// A number's shortest text to so many places, half up as decimals are rounded by hand, or half to
// the even digit.
export const rounded = (value, places, even = false) => {
  const text = Math.abs(value) < 1e-6 ? "0" : String(value);
  const [whole, rest = ""] = text.split(".");
  const kept = BigInt(whole.replace("-", "") + rest.slice(0, places).padEnd(places, "0"));
  const isTie = even && /^50*$/.test(rest.slice(places)) && kept % 2n === 0n;
  const up = Number(rest[places] ?? 0) >= 5 && !isTie ? 1n : 0n;
  const digits = String(kept + up).padStart(places + 1, "0");
  const sign = text.startsWith("-") && /[1-9]/.test(digits) ? "-" : "";
  return sign + (places ? `${digits.slice(0, -places)}.${digits.slice(-places)}` : digits);
};

const number = (text) => {
  const plain = text.trim();
  return /^(\d+\.?\d*|\.\d+)$/.test(plain) && plain.length <= 12 ? Number(plain) : null;
};

// What was typed in a unit, as it is kept; what is no number goes on, for the rules to refuse.
export const stored = (text, unit) => {
  if (PER[unit] === 1) return text;
  const found = number(text);
  // Times a thousand millionth and back: no product of ours has more places than that.
  return found === null ? `${text} ?` : rounded(Number((found * PER[unit]).toFixed(9)), 1);
};

export const shown = (value, unit) => {
  const places = PER[unit] === 1 ? 1 : 0;
  const per = unit === "in" ? PER.in / 2 : PER[unit];
  const text = rounded(Number((value / per).toFixed(9)), places);
  if (unit === "in") return String(Number(text) / 2);
  return places ? text.replace(/\.0$/, "") : text;
};
