// What a reading comes to as one score, and where that lies in a target band. The same rules as
// scoring/rules/scale.py, overall.py and band.py; both are held to fixtures/overall_cases.json and
// place_cases.json. Scores are whole half points, null is no score.

import { told, written } from "../values.js";

export const REGIONS = ["neck_and_shoulder", "back_and_ribs", "hindquarters"];
export const BACK = "back_and_ribs";
const TOP = 10;

// A marked fat pocket behind the shoulder adds half a point to back and ribs, at most to 5.
const withPocket = (felt, pocket) =>
  pocket !== "marked" || felt[BACK] === null
    ? felt
    : { ...felt, [BACK]: Math.min(felt[BACK] + 1, TOP) };

const points = (count) => (count / 2).toFixed(1);
const halves = (text) => Math.round(Number(text) * 2);

// What is said beside a suggestion once a score was chosen: the hand decides, and what counts. As
// scoring/rules/chosen.py, both held to chosen_cases.json; here since each file more costs signal.
// low, high and felt are points as text, low and high null where nothing is suggested.
export const beside = ({ low, high, felt, pocket }) => {
  const at = halves(felt);
  const differs = low !== null && (at < halves(low) || at > halves(high));
  const chosen = { felt_score: points(at) };
  const hand = differs ? [["chosen_hand", chosen]] : [];
  if (pocket !== "marked") return hand;
  if (at >= TOP) return [...hand, ["chosen_most", chosen]];
  return [[differs ? "chosen_hand_pocket" : "chosen_pocket", { ...chosen, used_score: points(at + 1) }]];
};

// The score of the pelvis, moved once, by half a point, toward a region a full point away.
const pelvisLed = ([neck, back, hind]) => {
  const away = [neck - hind, back - hind];
  return hind + Number(away.some((each) => each >= 2)) - Number(away.some((each) => each <= -2));
};

// felt: half points by region on "five"; whole: the one score of the other scales.
export const summed = ({ scale, felt = {}, whole = null, pocket = "none" }) => {
  const nothing = { used: {}, sixths: null, mean: null, nearest: null, fattest: [], pelvisLed: null };
  if (scale !== "five") return whole === null ? nothing : { ...nothing, ...mean(whole * 3) };
  const all = Object.fromEntries(REGIONS.map((name) => [name, felt[name] ?? null]));
  const used = withPocket(all, pocket);
  const scores = REGIONS.map((name) => used[name]);
  if (scores.includes(null)) return { ...nothing, used };
  const most = Math.max(...scores);
  return {
    used,
    ...mean(scores.reduce((sum, each) => sum + each)),
    fattest: REGIONS.filter((name) => used[name] === most),
    pelvisLed: pelvisLed(scores),
  };
};

// Sixths of a point to two places, half up (25 are 4.17), and to the nearest half: 19 are a 3.
const mean = (sixths) => {
  const cents = Math.floor((sixths * 100 + 3) / 6);
  const text = String(cents).padStart(3, "0");
  return {
    sixths,
    mean: `${text.slice(0, -2)}.${text.slice(-2)}`,
    nearest: Math.floor((2 * sixths + 3) / 6),
  };
};

const hundredths = (points) => Math.round(Number(points) * 100);

const edge = (points) => {
  const cents = hundredths(points);
  return cents % 50 ? (cents / 100).toFixed(2) : written(cents / 50);
};

// Why the nearest half has its place, by the sentences of scoring/pages/labels.py.
export const whyPlaced = (words, nearest, band) =>
  told(words[`why_${placed(nearest, band).place}`], { half: written(nearest), low: edge(band.low), high: edge(band.high) });

// Where an overall, to the nearest half point, lies in a band. Edges are points as text with two
// places; they are compared in hundredths, so that nothing is rounded. Returns the place and, where it is whole or half points, how many half points lie between.
export const placed = (nearest, band) => {
  const at = nearest * 50;
  const [low, high] = [hundredths(band.low), hundredths(band.high)];
  if (at >= low && at <= high) return { place: "within", away: 0 };
  const place = at < low ? "below" : "above";
  const away = place === "below" ? low - at : at - high;
  return { place, away: away % 50 ? null : away / 50 };
};
