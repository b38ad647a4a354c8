// What a score faces once every region has one: its place in the band, the change since the last
// score, alerts and what comes next. Neither these sentences nor what they say is in the page
// before: both are asked for only then. A score that is changed after that is noted as changed.

import { sentences as asked } from "./far.js";
import { placed, whyPlaced } from "./rules/overall.js";
import { told, written } from "./values.js";

const NOTHING = { place: "", band: "", byMean: "", rows: [], alerts: [] };

const placeWords = (words, { place, away }) => {
  if (place === "within" || !away) return words[place];
  const size = { 1: "half", 2: "one" }[away] ?? "far";
  return told(words[`${size}_${place}`], { n: written(away) });
};

const changeWords = (words, sum, last) => {
  const by = Math.round(Number(sum.mean) * 100) - Math.round(Number(last.overall) * 100);
  const [size, mean] = [(Math.abs(by) / 100).toFixed(2), last.overall];
  if (!by) return told(words.same, { mean });
  return told(by > 0 ? words.more : words.less, { by: size, mean });
};

const said = (words, after, sum, scale) => {
  const last = after.last?.overall && after.last.scale === scale ? after.last : null;
  const band = after.band?.scale === scale && sum.nearest !== null ? after.band : null;
  const rows = [];
  if (last && sum.mean !== null) {
    const at = new Intl.DateTimeFormat(document.documentElement.lang || undefined, { dateStyle: "medium" }).format(new Date(last.at));
    rows.push([told(words.since, { at }), changeWords(words, sum, last)]);
  }
  if (after.next_due_days) rows.push([words.next_due, told(words.in_days, { n: after.next_due_days })]);
  return {
    place: band ? placeWords(words, placed(sum.nearest, band)) : "",
    band: band ? whyPlaced(words, sum.nearest, band) : "",
    byMean: words.by_mean,
    rows,
    alerts: after.open_alerts ?? [],
  };
};

// after: what was known of the horse before, opened when every region had its answer.
export const begin = (page, after) => {
  const { form, words, names } = page;
  const sentences = () => asked(page);
  sentences();

  const scores = () => Object.fromEntries(names.map((name) => [name,
    form.querySelector(`[data-step=${name}] [data-ruler] input:checked`)?.value])
    .filter(([, value]) => value));

  const name = (value) => (value === "not_safe" ? words.unsafe.toLowerCase() : written(Number(value) * 2));

  // One line of the note says what was changed since; none where it is as it was again.
  const noteChanges = (own) => {
    const [first, now] = [JSON.parse(page.revealed), scores()];
    const changes = Object.keys(now).filter((each) => now[each] !== first[each]).map((each) =>
      told(own.changed_from, { region: words.steps[each], now: name(now[each]), first: name(first[each]) }));
    const begins = own.changed.split("{")[0];
    const note = form.elements.note;
    const others = note.value.split("\n").filter((line) => !line.startsWith(begins));
    if (changes.length) others.push(told(own.changed, { changes: changes.join("; ") }));
    note.value = others.join("\n").trim();
  };

  // Called when every region has its answer; sum is null where there is none.
  return async (sum, scale) => {
    const own = await sentences();
    if (!own) return NOTHING;
    const found = said(own, after, sum, scale);
    if (page.revealed) noteChanges(own);
    // What the hand could be swayed by from now on.
    if (found.place || after.last || found.alerts.length) page.revealed ||= JSON.stringify(scores());
    await page.keeper.keep();
    return found;
  };
};
