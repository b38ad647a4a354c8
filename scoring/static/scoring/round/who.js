// Who works on this phone. A page that the server made for somebody says so in <html>; the shells,
// which are made for nobody, ask what the last such page said. It is forgotten when that somebody
// signs out, and kept when only the session runs out: work without signal goes on.

import * as store from "./store.js";

const KEY = "who";

export const named = () => {
  const { person, organisation, personName, organisationName } = globalThis.document
    ?.documentElement.dataset ?? {};
  if (!person || !organisation) return null;
  return { person, organisation, personName: personName ?? "", organisationName: organisationName ?? "" };
};

// Called by each page; whoever is new here does not find the rounds of another.
export const remember = async () => {
  const here = named();
  if (!here) return;
  const last = await store.get("meta", KEY);
  if (last && Object.keys(here).every((name) => here[name] === last[name])) return;
  if (last && !isTheirs(last, here)) await forget();
  await store.put("meta", { key: KEY, ...here });
};

export const current = async () => named() ?? (await store.get("meta", KEY)) ?? null;

export const isTheirs = (row, who) =>
  Boolean(who) && row.person === who.person && row.organisation === who.organisation;

// Copies of what the server holds go with whoever signs out; what it does not hold yet stays.
export const forget = async () => {
  sessionStorage.clear();
  await store.change(["meta", "rounds", "after", "queue"], async (meta, rounds, after, queue) => {
    meta.delete(KEY);
    rounds.clear();
    after.clear();
    for (const { id, state } of await store.asked(queue.getAll())) {
      if (state === "sent") queue.delete(id);
    }
  });
};
