// What was entered on this phone for the horses of a round, said beside them as it stands.

import { listen } from "./channel.js";
import * as queue from "./queue.js";
import { STATES, isPast } from "./states.js";
import * as who from "./who.js";

// Of a horse's scores the state that says most.
const states = async () => {
  const found = new Map();
  const here = await who.current();
  for (const item of await queue.all()) {
    const { kind, about, state } = item;
    if (kind !== "assessment" || !who.isTheirs(item, here) || isPast(item)) continue;
    const other = found.get(about.horse);
    const isGraver = !other || STATES.indexOf(state) < STATES.indexOf(other);
    if (isGraver) found.set(about.horse, state);
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

// `words` is an element with the sentences; `rows` are the list's, by data-horse.
export const begin = (words, rows) => {
  const show = async () => {
    const found = await states();
    for (const row of rows()) {
      const state = found.get(row.dataset.horse);
      if (!state && !row.querySelector(".entered")) continue;
      const said = slot(row);
      said.textContent = state ? words.getAttribute(`data-mark-${state}`) : "";
      said.hidden = !state;
    }
  };
  listen(({ type }) => { if (type === "queue") show().catch(() => {}); });
  return show();
};
