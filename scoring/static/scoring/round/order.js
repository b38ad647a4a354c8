// What goes next: what may save a life first, photos last, and nothing before what it belongs to.

const RANKS = { concern: 1, horse: 2, assessment: 3, weighing: 4, photo: 5 };
const URGENT = 0;
export const BATCHES = { assessment: "assessments/batch/", weighing: "weighings/batch/" };
const MOST_ITEMS = 20;
const MOST_CHARACTERS = 400_000;

// Refusals of the sender and not of the item: tried again by themselves, once the person, the
// organisation or the grant is right.
export const OF_THE_SENDER = new Set([
  "signed_out", "no_grant", "other_person", "other_organisation", "forbidden",
]);

export const owner = (item) => `${item.organisation} ${item.person}`;

// Whoever asks holds the lock: what says it is being sent was left so by a sender that died.
const mayGo = (item) =>
  item.state === "saved" || item.state === "sending" ||
  (item.state === "needs_you" && OF_THE_SENDER.has(item.why?.kind));

// An item's rank is lifted by the most pressing one that cannot go before it.
const ranks = (items) => {
  const found = new Map(items.map((item) => [item.id, item.urgent ? URGENT : RANKS[item.kind]]));
  const byId = new Map(items.map((item) => [item.id, item]));
  for (const item of items) {
    const rank = found.get(item.id);
    for (let on = byId.get(item.after); on; on = byId.get(on.after)) {
      if (found.get(on.id) <= rank) break;
      found.set(on.id, rank);
    }
  }
  return found;
};

// The items of the next request, [] when there is none. `skipped` is what failed in this run by
// itself; `shut` are owners in whose name nothing can be sent now.
export const next = (items, { skipped = new Set(), shut = new Set(), single = new Set() } = {}) => {
  const unsent = items.filter((item) => item.state !== "sent");
  const ids = new Set(unsent.map((item) => item.id));
  const rank = ranks(unsent);
  const ready = unsent
    .filter((item) => mayGo(item) && !skipped.has(item.id) && !shut.has(owner(item)))
    .filter((item) => !ids.has(item.after))
    .sort((one, other) =>
      rank.get(one.id) - rank.get(other.id) || one.tries - other.tries ||
      (one.added_at < other.added_at ? -1 : 1));
  const [first, ...rest] = ready;
  if (!first) return [];
  if (!BATCHES[first.kind] || single.has(first.id)) return [first];
  const batch = [first];
  let room = MOST_CHARACTERS - JSON.stringify(first.body).length;
  for (const item of rest) {
    if (item.kind !== first.kind || owner(item) !== owner(first) || single.has(item.id)) continue;
    room -= JSON.stringify(item.body).length;
    if (room < 0 || batch.length === MOST_ITEMS) break;
    batch.push(item);
  }
  return batch;
};
