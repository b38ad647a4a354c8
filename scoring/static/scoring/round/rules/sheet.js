// The form's values as the reading that the API takes: the same as scoring/rules/score_sheet.py on
// what yards/pages/controls.py makes of quantities; held to fixtures/sheet_cases.json. Nothing is
// judged here: what does not fit goes on as it was typed, so that the server refuses it by name.

import { REGIONS } from "./overall.js";
import { stored } from "./units.js";

const [WHOLE, NOT_SAFE] = ["overall", "not_safe"];
const FLAGS = ["rug_off", "looked_for_danger"];
const LISTS = ["danger_signs"];
const HELD = ["somebody", "nobody"];
const OURS = ["csrfmiddlewaretoken", "horse", "weight_is_right"];

// Minutes by which a zone's clock is ahead of UTC at an instant.
const ahead = (at, zone) => {
  const parts = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone, hourCycle: "h23", year: "numeric", month: "2-digit", day: "2-digit",
    hour: "2-digit", minute: "2-digit", second: "2-digit",
  }).formatToParts(at);
  const told = Object.fromEntries(parts.map(({ type, value }) => [type, Number(value)]));
  const local = Date.UTC(told.year, told.month - 1, told.day, told.hour, told.minute, told.second);
  return Math.round((local - Math.floor(at / 1000) * 1000) / 60_000);
};

// The instant of a local time. One that a day has twice is the first; one that it does not have
// stands for the next that it has, the first of the new offset.
export const instant = (typed, zone) => {
  const match = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)$/.exec(typed);
  if (!match) return typed;
  const [, year, month, day, hour, minute] = match.map(Number);
  const local = Date.UTC(year, month - 1, day, hour, minute);
  const told = new Date(local);
  if (Number.isNaN(local) || told.getUTCMonth() !== month - 1 || told.getUTCHours() !== hour) return typed;
  const [before, after] = [ahead(local - 86_400_000, zone), ahead(local + 86_400_000, zone)];
  const fits = [before, after].map((offset) => local - offset * 60_000)
    .filter((at) => local - at === ahead(at, zone) * 60_000);
  const at = fits.length ? Math.min(...fits) : endOfGap(local, before, after, zone);
  return new Date(at).toISOString().replace(".000Z", "+00:00");
};

const endOfGap = (local, before, after, zone) => {
  let [low, high] = [local - after * 60_000, local - before * 60_000];
  while (high - low > 1000) {
    const middle = low + Math.floor((high - low) / 2000) * 1000;
    if (ahead(middle, zone) === after) high = middle;
    else low = middle;
  }
  return high;
};

const put = (into, path, value) => {
  const last = path.pop();
  for (const name of path) {
    into[name] ??= {};
    if (typeof into[name] !== "object") return;
    into = into[name];
  }
  into[last] = value;
};

const told = (name, sent, zone) => {
  if (FLAGS.includes(name)) return { true: true, false: false }[sent] ?? sent;
  return name === "taken_at" ? instant(sent, zone) : sent;
};

const takenOut = (scores, name) => {
  if (scores?.[name] !== NOT_SAFE) return false;
  delete scores[name];
  return true;
};

// values: texts by dotted name, or lists of texts, as FormData has them; "unit.<name>" says in
// which unit a quantity was typed.
export const reading = (values, zone) => {
  const found = {};
  for (const [name, value] of Object.entries(values)) {
    if (OURS.includes(name) || name.startsWith("unit.")) continue;
    const many = Array.isArray(value) ? value : [value];
    let sent = LISTS.includes(name) ? many.filter(Boolean) : many.at(-1) ?? "";
    if (!sent.length) continue;
    const unit = values[`unit.${name}`];
    if (unit && sent.trim()) sent = stored(sent, unit);
    put(found, name.split("."), told(name, sent, zone));
  }
  if (HELD.includes(found.held)) {
    found.held_by ??= found.held;
    delete found.held;
  }
  const unsafe = REGIONS.filter((name) => takenOut(found.regions, name));
  if (takenOut(found, WHOLE)) unsafe.push(WHOLE);
  if (unsafe.length) found[NOT_SAFE] = unsafe;
  return found;
};
