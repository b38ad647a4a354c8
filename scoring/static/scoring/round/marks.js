// What was entered on this phone for the horses of a round, said beside them as it stands: scored
// here, or half done and at which step.

import { listen } from "./channel.js";
import * as drafts from "./drafts.js";
import * as queue from "./queue.js";
import { STATES, isPast, isUnscored } from "./states.js";
import { clock, isToday, moment, told } from "./values.js";
import * as who from "./who.js";

const WHOLE = ["look", "overall", "weight", "summary"];
const STEPS = { five: ["look", "neck_and_shoulder", "back_and_ribs", "hindquarters", ...WHOLE.slice(2)] };

// Of a horse's scores the one whose state says most.
const scored = async (here) => {
  const found = new Map();
  for (const item of await queue.all()) {
    const { kind, about, state } = item;
    if (kind !== "assessment" || !who.isTheirs(item, here) || isPast(item)) continue;
    const other = found.get(about.horse);
    const isGraver = !other || STATES.indexOf(state) < STATES.indexOf(other.state);
    if (isGraver) found.set(about.horse, item);
  }
  return found;
};

// The horses that whoever works here answered on this phone today.
export const doneToday = async () => {
  const items = await scored(await who.current());
  return new Set([...items].filter(([, item]) => isToday(felt(item))).map(([horse]) => horse));
};

// Of a horse that is half done, its step.
const halfDone = async (here) => {
  const found = new Map();
  for (const draft of await drafts.all()) {
    const isTheirs = here && draft.key === drafts.keyOf(`${here.organisation}:${here.person}`, draft.horse);
    const steps = STEPS[draft.scale] ?? WHOLE;
    const at = steps.indexOf(draft.step);
    // Past its first region only with a score: else somebody came back to what is saved, and left it.
    const isScored = Object.keys(draft.values ?? {}).some((name) => /^(regions\.|overall$)/.test(name));
    const isBegun = at === 1 || (at > 1 && isScored);
    if (isTheirs && at >= 0) found.set(draft.horse, { n: at + 1, all: steps.length, isBegun });
  }
  return found;
};

const slot = (row) => {
  const found = row.querySelector(".entered");
  if (found) return found;
  const made = document.createElement("p");
  made.className = "entered";
  row.querySelector(".btn").before(made);
  return made;
};

// A horse that is done says so first, in words.
const say = (row, text, word) => {
  const said = slot(row);
  const done = row.classList.contains("done") ? [Object.assign(document.createElement("b"), { textContent: word("mark-done") }), " "] : [];
  said.replaceChildren(...done, text);
  said.hidden = !text;
};

// When it was felt, as every page says it: the time of saving is a later one.
const felt = (item) => new Date(item.body?.taken_at ?? item.added_at);

// What is said once a horse was scored here; its weight may still be due.
const entered = (row, item, word) => {
  if (!item) return "";
  const made = felt(item);
  const at = isToday(made) ? told(word("mark-today"), { at: clock(made) }) : moment(made);
  const said = told(word(`mark-${isUnscored(item) ? "unsafe-" : ""}${item.state}`), { at });
  return row.dataset.weightDue !== undefined && !item.body?.weighing ? `${said}. ${word("mark-weight")}` : said;
};

// The button says what a press does now: score it, or go on where it was left.
const press = (row, item, half, word) => {
  const button = row.querySelector("a.btn");
  const visible = button.querySelector("span:not(.vh)") ?? button.firstChild;
  const name = row.querySelector("h2").textContent;
  button.dataset.first ??= visible.textContent;
  const first = row.classList.contains("done") ? word("mark-again") : button.dataset.first;
  button.dataset.loud ??= button.classList.contains("go");
  const isHalf = Boolean(half?.isBegun);
  visible.textContent = isHalf ? told(word("mark-go-on"), { name, ...half }) : first;
  button.querySelector(".vh").hidden = isHalf;
  button.classList.toggle("go", isHalf || (button.dataset.loud === "true" && !row.classList.contains("done")));
  // What it says was so before it was scored here.
  const when = row.querySelector(".when");
  if (item) when.hidden = true;
  else if (when.textContent.trim()) when.hidden = false;
};

// The order that the walk was opened in, which the next horse follows; a tab's own.
const ORDER = "first";
const opened = () => {
  try { sessionStorage.setItem(ORDER, new URLSearchParams(location.search).get("first") ?? ""); } catch { /* kept nowhere */ }
};
export const isDueFirst = () => {
  try { return sessionStorage.getItem(ORDER) === "due"; } catch { return false; }
};
export const roundLink = ({ id }) => `/round/${id}/${isDueFirst() ? "?first=due" : ""}`;

// `words` is an element with the sentences; `rows` are the list's, by data-horse.
export const begin = (words, rows) => {
  const word = (name) => words.getAttribute(`data-${name}`);
  opened();
  const show = async () => {
    const here = await who.current();
    const [items, halves] = [await scored(here), await halfDone(here)];
    const all = [...rows()];
    for (const row of all) {
      const item = items.get(row.dataset.horse);
      const text = entered(row, item, word);
      // What the server says of today is so for everybody; what waits here is said beside it.
      const there = row.dataset.entered ?? "";
      const isKnown = there && item?.state === "sent";
      row.classList.toggle("done", Boolean(there) || Boolean(item && isToday(felt(item))));
      press(row, isKnown ? null : item, halves.get(row.dataset.horse), word);
      if (!text && !row.querySelector(".entered")) continue;
      say(row, isKnown ? there : [there, text].filter(Boolean).join(". "), word);
    }
    const count = document.querySelector("[data-done]");
    if (!count || !all.length) return;
    const n = all.filter((row) => row.classList.contains("done")).length;
    count.textContent = told(word("mark-count"), { n, all: all.length });
    count.hidden = false;
  };
  listen(({ type }) => { if (type === "queue") show().catch(() => {}); });
  // Back from a horse by the phone's own button, the page may be as it was left.
  window.addEventListener("pageshow", (event) => { if (event.persisted) show().catch(() => {}); });
  return show();
};
