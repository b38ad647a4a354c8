// What the chosen findings suggest, said as they are chosen. The same rule as
// scoring/rules/suggestion.py, on data of the shape of fixtures/findings.json; both are held to
// fixtures/suggestion_cases.json. Nothing is said of a place where nothing was chosen, and nothing
// here sets a score. The page works without this.

import { beside } from "./round/rules/overall.js";
import { written } from "./round/values.js";

const WHOLE = "overall";
const SIDE_BY_SIDE = 1;
const halves = (points) => Math.round(Number(points) * 2);
const points = (count) => (count / 2).toFixed(1);
const width = (found) => (found.low === null ? 0 : found.high - found.low);
// The one that says most, with the narrowest span, first.
const names = (found) =>
  [...found].sort((a, b) => width(a) - width(b)).map((each) => each.name).join(",");

const finding = (data, scale, landmark, value, { felt, sex }) => {
  const mark = data.landmarks[landmark];
  const row = mark.values.find((each) => each.value === value);
  const seen = row.sense === "eye" || !felt;
  const found = { name: `${landmark}.${value}`, low: null, high: null, seen, whyNot: "" };
  if (mark.not_counted_on.includes(scale)) return { ...found, whyNot: "suggest_noted" };
  if ((mark.not_counted_of ?? []).includes(sex)) {
    return { ...found, whyNot: "suggest_noted_of_stallion" };
  }
  if (!felt && row.sense === "hand") return { ...found, whyNot: "suggest_not_felt" };
  const [low, high] = row.goes_with[scale].map(halves);
  return { ...found, low, high };
};

const span = (counted) => {
  const begins = Math.max(...counted.map((each) => each.low));
  const ends = Math.min(...counted.map((each) => each.high));
  const [low, high] = [Math.min(begins, ends), Math.max(begins, ends)];
  const [from_score, to_score, findings] = [points(low), points(high), names(counted)];
  if (begins === ends) return { low, high, why: ["suggest_one", { findings, from_score }] };
  if (begins < ends) {
    return { low, high, why: ["suggest_range", { findings, from_score, to_score }] };
  }
  const thin = names(counted.filter((each) => each.high === ends));
  const fat = names(counted.filter((each) => each.low === begins));
  const key = high - low <= SIDE_BY_SIDE ? "suggest_between" : "suggest_disagree";
  return { low, high, why: [key, { thin, fat, from_score, to_score }] };
};

const ofPlace = (data, place, found, pocket) => {
  const counted = found.filter((each) => !each.whyNot);
  const reasons = [];
  let [low, high] = [null, null];
  if (counted.length && counted.every((each) => each.seen) && counted.length < data.least_seen) {
    reasons.push(["suggest_seen_alone", { findings: names(counted) }]);
  } else if (counted.length) {
    const made = span(counted);
    [low, high] = [points(made.low), points(made.high)];
    reasons.push(made.why);
  }
  for (const key of ["suggest_not_felt", "suggest_noted", "suggest_noted_of_stallion"]) {
    const leftOut = found.filter((each) => each.whyNot === key);
    if (leftOut.length) reasons.push([key, { findings: names(leftOut) }]);
  }
  if (place === "back_and_ribs" && pocket === "marked") reasons.push(["suggest_pocket_once", {}]);
  return { place, low, high, reasons };
};

// data: as in fixtures/findings.json; chosen: values by landmark. Returns places, head to tail.
export const suggest = (data, scale, chosen, { felt = true, pocket = "none", sex = "" } = {}) => {
  const byPlace = new Map();
  for (const landmark of data.by_scale[scale]) {
    if (!chosen[landmark]) continue;
    const place = scale === "five" ? data.landmarks[landmark].region : WHOLE;
    byPlace.set(place, [
      ...(byPlace.get(place) ?? []),
      finding(data, scale, landmark, chosen[landmark], { felt, sex }),
    ]);
  }
  return [...byPlace].map(([place, found]) => ofPlace(data, place, found, pocket));
};

const form = document.querySelector("[data-findings]");
if (form) {
  const data = JSON.parse(form.dataset.findings);
  const words = JSON.parse(form.dataset.reasons);
  const outputs = [...form.querySelectorAll("[data-suggests]")];

  const called = (name) => {
    const [landmark, value] = name.split(".");
    return data.landmarks[landmark].values.find((each) => each.value === value).said;
  };
  const told = (name, value) =>
    name.endsWith("_score") ? written(halves(value)) : value.split(",").map(called).join(", ");
  const sentence = ([key, params]) => {
    const text = words[key].replace(/\{(\w+)\}/g, (_, name) => told(name, params[name]));
    return text.charAt(0).toUpperCase() + text.slice(1);
  };

  // Of several findings that a place asks for the first one alone: the next narrows it.
  const isFirst = ({ place, low }, scale, chosen) => {
    const asked = data.by_scale[scale].filter((each) => scale !== "five" || data.landmarks[each].region === place);
    return low !== null && asked.length > 1 && asked.filter((each) => chosen[each]).length === 1;
  };

  // The levels that a suggestion spans, in few words; of a half alone the one above it too.
  const near = ({ place, low, high }) => {
    if (low === null || high - low > data.near_most) return [];
    const [first, last] = [low, high].map(Math.floor);
    return (data.briefs[place] ?? []).slice(first, (last > first ? last : Math.ceil(high)) + 1);
  };

  // A score that was chosen is what is recorded: said where it is not what is suggested, and what it
  // counts with a marked pocket.
  const ofChosen = (place, found, sent) => {
    const felt = sent.get(place === WHOLE ? WHOLE : `regions.${place}`);
    if (!felt || felt === "not_safe") return [];
    const pocket = place === "back_and_ribs" ? sent.get("fat_pocket") : "none";
    return beside({ low: found?.low ?? null, high: found?.high ?? null, felt, pocket });
  };

  const say = () => {
    const sent = new FormData(form);
    const chosen = {};
    for (const landmark of Object.keys(data.landmarks)) {
      chosen[landmark] = sent.get(`findings.${landmark}`);
    }
    const places = suggest(data, sent.get("scale"), chosen, {
      felt: sent.get("manner") !== "visual",
      pocket: sent.get("fat_pocket") ?? "none",
      sex: form.dataset.sex,
    });
    for (const output of outputs) {
      const place = output.dataset.suggests;
      const found = places.find((each) => each.place === place);
      const chosenToo = ofChosen(place, found, sent);
      const reasons = (found?.reasons ?? []).filter(([key]) => key !== "suggest_pocket_once" || !chosenToo.length);
      const told = reasons.map(sentence);
      if (found && !chosenToo.length) {
        if (isFirst(found, sent.get("scale"), chosen)) told.unshift(words.suggest_first);
        else told.push(...near(found));
      }
      const counts = chosenToo.map(sentence).join(" ");
      const text = [counts, ...told].filter(Boolean).join(" ");
      // Said again only when it is something else: a screen reader hears each change.
      if (output.textContent === text) continue;
      output.replaceChildren(text.slice(counts.length));
      if (counts) output.prepend(Object.assign(document.createElement("strong"), { textContent: counts }));
    }
  };
  form.addEventListener("change", say);
  window.addEventListener("pageshow", say);
  say();
}
