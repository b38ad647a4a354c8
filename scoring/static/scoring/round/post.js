// One request to the server, and what its answer means for the items in it.
//
// {kind: "answered", each: [{status, problem}]}   one result an item, in order
// {kind: "held", why}                             refused as a whole, for the sender's sake
// {kind: "apart"}                                 refused as a whole: ask for each by itself
// {kind: "away", wait, stop}                      no answer that can be relied on; `wait` seconds
//                                                 before anything more is asked

import { BATCHES } from "./order.js";
import * as bytes from "./bytes.js";
import * as clock from "./clock.js";

const API = "/api/v1/";
const JSON_MS = 20_000;
const PHOTO_MS = 90_000;
const MOST_WAIT_S = 900;
// Never the server's: what should be sent is no longer here.
export const GONE = 410;
// A page of ours that sets the cookie with the CSRF token, and tells who may enter at all.
const DOORSTEP = "/settings/";

const away = (wait = 0, stop = true) => ({ kind: "away", wait, stop });
const held = (kind, problem) => ({
  kind: "held",
  why: { kind, status: problem?.status, detail: problem?.detail ?? "", errors: problem?.errors ?? [] },
});

// Over https the cookie's name has the prefix that keeps it to this very host.
const csrf = async () => {
  if (globalThis.document) {
    return document.cookie.match(/(?:^|; )(?:__Host-)?csrftoken=([^;]*)/)?.[1] ?? "";
  }
  const store = globalThis.cookieStore;
  return ((await store?.get("__Host-csrftoken")) ?? (await store?.get("csrftoken")))?.value ?? "";
};

const address = (item) => {
  if (item.kind === "concern") return `${API}horses/${item.body.horse ?? item.about.horse}/concerns/`;
  return `${API}${item.kind}s/`;
};

// `sent_at` is the clock that the item was taken with, as it is sent: the server sees by it how wrong
// that clock was.
const shown = (item, behind) => {
  const sent_at = clock.shows(item, behind);
  const { horse, ...concern } = item.body;
  if (item.kind === "concern") return { ...concern, id: item.id, sent_at };
  if (item.kind === "horse") return { ...item.body, id: item.id };
  return { ...item.body, id: item.id, sent_at };
};

const multipart = async (item, behind) => {
  const form = new FormData();
  for (const [name, value] of Object.entries(shown(item, behind))) {
    if (value !== null && value !== undefined) form.append(name, value);
  }
  const image = await bytes.take(item.id);
  if (!image) throw new DOMException("the browser cleared it", "NotFoundError");
  form.append("image", image, `${item.id}.jpg`);
  return { body: form, headers: {}, ms: PHOTO_MS };
};

const json = (items, behind) => {
  const bodies = items.map((item) => shown(item, behind));
  return {
    body: JSON.stringify(BATCHES[items[0].kind] ? { items: bodies } : bodies[0]),
    headers: { "Content-Type": "application/json" },
    ms: JSON_MS,
  };
};

const asked = async (items, behind) => {
  const [first] = items;
  const path = BATCHES[first.kind] ? API + BATCHES[first.kind] : address(first);
  const { body, headers, ms } = first.kind === "photo"
    ? await multipart(first, behind) : json(items, behind);
  return fetch(path, {
    method: "POST",
    credentials: "same-origin",
    redirect: "error",
    signal: AbortSignal.timeout(ms),
    headers: {
      ...headers,
      "X-CSRFToken": await csrf(),
      "Halfpoint-Organisation": first.organisation,
      "Halfpoint-Person": first.person,
    },
    body,
  });
};

// An answer that is not ours (a café's sign-in page, a proxy's excuse) acknowledges nothing.
const read = async (response) => {
  const type = response.headers.get("Content-Type") ?? "";
  if (!/^application\/(problem\+)?json/.test(type)) return null;
  try { return await response.json(); } catch { return null; }
};

// Nobody is signed in, or somebody is to whom nothing is open: the doorstep tells which.
const outside = async (problem) => {
  try {
    const response = await fetch(DOORSTEP, { redirect: "manual", signal: AbortSignal.timeout(JSON_MS) });
    if (response.type === "opaqueredirect") return held("signed_out", problem);
    if (response.status === 403) return held("no_grant", problem);
  } catch { /* told below */ }
  return away();
};

// The seconds that an answer asks for before the next request: a number, or a time by its own clock,
// since this phone's may be wrong. No more than a quarter of an hour is taken at its word.
const pause = (headers) => {
  const said = headers.get("Retry-After") ?? "";
  const until = Date.parse(said) - Date.parse(headers.get("Date") ?? "");
  const asked = /^\d+$/.test(said) ? Number(said) : until / 1000;
  return Math.min(Math.max(asked || 0, 0), MOST_WAIT_S);
};

const named = (problem, field) => (problem?.errors ?? []).some((each) => each.field === field);

const results = (items, found) => {
  if (!BATCHES[items[0].kind]) return found.id === items[0].id ? [{ status: 200 }] : null;
  const rows = found.results;
  if (!Array.isArray(rows) || rows.length !== items.length) return null;
  const isOurs = rows.every((row, at) =>
    Number.isInteger(row.status) && (row.status >= 400 || row.id === items[at].id));
  return isOurs ? rows : null;
};

const refused = (items, status, problem) => {
  if (named(problem, "Halfpoint-Person")) return held("other_person", problem);
  if (named(problem, "Halfpoint-Organisation")) return held("other_organisation", problem);
  // The token was fetched anew and is refused again: that says nothing of the role.
  if (named(problem, "X-CSRFToken")) return away();
  if (status === 403) return held("forbidden", problem);
  if (items.length > 1) return { kind: "apart" };
  return { kind: "answered", each: [{ status, problem }] };
};

const judged = async (items, response) => {
  const { status } = response;
  const found = await read(response);
  const wait = pause(response.headers);
  if (status === 429) return away(wait);
  // Whoever says these, a proxy without our words too, says it of what was sent. A fault of the
  // server's own may lie in one item: the others must not wait for it.
  if (status === 413) return refused(items, status, found);
  if (status === 500) return items.length > 1 ? { kind: "apart" } : away(wait, false);
  if (found === null || typeof found !== "object") return away(wait);
  await clock.note(response);
  if (status === 401) return outside(found);
  if (status === 200 || status === 201) {
    const each = results(items, found);
    return each ? { kind: "answered", each } : away();
  }
  if (status < 400 || status > 500) return away(wait);
  return refused(items, status, found);
};

const isStale = async (response) =>
  response.status === 403 && named(await read(response.clone()), "X-CSRFToken");

// Send one request's items. Never throws for what the network or the server does.
export const post = async (items) => {
  try {
    const isTimed = items.some((item) => Number.isFinite(item.behind));
    const behind = isTimed ? await clock.now() : 0;
    if (behind === null) return away();
    let response = await asked(items, behind);
    if (await isStale(response)) {
      await fetch(DOORSTEP, { signal: AbortSignal.timeout(JSON_MS) });
      response = await asked(items, behind);
    }
    return await judged(items, response);
  } catch (error) {
    if (error?.name === "NotKept") throw error;
    if (error?.name === "NotFoundError") return { kind: "answered", each: [{ status: GONE }] };
    if (error?.name !== "TimeoutError") return away();
    // What is too much at once for a slow link goes by itself, and one photo too large for it must
    // not hold up the smaller ones behind it.
    if (items.length > 1) return { kind: "apart" };
    return away(0, items[0].kind !== "photo");
  }
};
