// The state line: what this phone holds that the server does not, told as it is. It is read from
// the store each time something changed, in any tab; it says nothing where there is nothing to say.

import { listen } from "./channel.js";
import { STATES, isPast, items } from "./states.js";
import * as who from "./who.js";

const NAMES = { needs_you: "needs", sending: "sending", saved: "saved", sent: "sent" };

// What is told: what waits here counts whosesoever it is, so that nobody clears the phone; what was
// sent is told for a while, and only to whoever entered it.
const told = async () => {
  const [all, here] = [await items(), await who.current()];
  return all.filter((item) => item.state !== "sent" || (who.isTheirs(item, here) && !isPast(item)));
};

// How many items on this phone are in each state.
export const counts = async () => {
  const found = { saved: 0, sending: 0, sent: 0, needs_you: 0 };
  for (const { state } of await told()) found[state] += 1;
  return found;
};

// The same as a person counts: a score with its photos, or an animal with what was seen of it, is one
// thing that somebody did, in the state of it that says most.
const things = async () => {
  const all = await told();
  const byId = new Map(all.map((item) => [item.id, item]));
  const whole = (item) => (byId.has(item.after) ? whole(byId.get(item.after)) : item.after ?? item.id);
  const gravest = new Map();
  for (const item of all) {
    const [id, at] = [whole(item), STATES.indexOf(item.state)];
    gravest.set(id, Math.min(at, gravest.get(id) ?? at));
  }
  const found = { saved: 0, sending: 0, sent: 0, needs_you: 0 };
  for (const at of gravest.values()) found[STATES[at]] += 1;
  return found;
};

const line = () => document.querySelector("[data-said]");
const words = (text, n) => text.replace("{n}", n);

const show = (slot, found) => {
  const open = found.needs_you + found.sending + found.saved;
  const lines = STATES
    .filter((state) => found[state] && (state !== "sent" || !open))
    .map((state) => words(slot.dataset[NAMES[state]], found[state]));
  const text = lines.join(" ");
  if (slot.dataset.now === text) return;
  slot.dataset.now = text;
  slot.toggleAttribute("data-calls", found.needs_you > 0);
  if (!text) return slot.replaceChildren();
  const link = document.createElement("a");
  link.href = slot.dataset.href;
  link.textContent = text;
  slot.replaceChildren(link);
};

// Say that something could not be kept here, why, and what to do; it stays until the next page.
export const trouble = (why) => {
  const slot = document.querySelector("[data-trouble]");
  if (!slot) return;
  slot.textContent = slot.dataset[why] ?? slot.dataset.failed;
  slot.hidden = false;
};

let asking = null;
let again = false;

// Say what is so; many changes at once are one look at the store, and never an old one last.
export const say = async () => {
  if (asking) { again = true; return asking; }
  asking = (async () => {
    do {
      again = false;
      const slot = line();
      if (slot) show(slot, await things());
    } while (again);
  })();
  try { await asking; } finally { asking = null; }
};

export const begin = () => {
  listen(({ type, why }) => {
    if (type === "queue" || type === "flushed") say().catch(() => {});
    if (type === "not_kept") trouble(why);
  });
  return say();
};
