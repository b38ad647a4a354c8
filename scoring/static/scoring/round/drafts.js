// Forms that are not finished. A draft: {key, horse, scale, step, values, photos: [id], at}. It is
// each person's own in each organisation, which its key says (`whose` of phone.js).

import * as store from "./store.js";

const { asked } = store;
const JUST_NOW_MS = 10 * 60 * 1000;

export const keep = async (key, draft) => {
  await store.put("drafts", { ...draft, key, at: new Date().toISOString() });
};

export const take = async (key) => (await store.get("drafts", key)) ?? null;

export const keyOf = (whose, horse) => `score:${whose}:${horse}`;
export const intakeKey = (whose) => `unknown:${whose}`;

const leave = async (id, queue, shots) => {
  // What waits to be sent is the queue's to let go of.
  if (!(await asked(queue.get(id)))) shots.delete(id);
};

// The draft goes with its photos.
export const drop = (key) =>
  store.change(["drafts", "queue", "photos"], async (drafts, queue, shots) => {
    const draft = await asked(drafts.get(key));
    drafts.delete(key);
    for (const id of [].concat(draft?.photos ?? [])) await leave(id, queue, shots);
  });

// A version 7 id begins with the time it was made at.
const madeAt = (id) => parseInt(id.replaceAll("-", "").slice(0, 12), 16);

// Remove photos that neither a draft nor the queue names. One that was taken just now may be about
// to be named, by another tab.
export const sweep = () =>
  store.change(["drafts", "queue", "photos"], async (drafts, queue, shots) => {
    const rows = await asked(drafts.getAll());
    const named = new Set(rows.flatMap((draft) => draft.photos ?? []));
    const before = Date.now() - JUST_NOW_MS;
    for (const id of await asked(shots.getAllKeys())) {
      if (!named.has(id) && madeAt(id) < before) await leave(id, queue, shots);
    }
  });

export const all = () => store.all("drafts");
