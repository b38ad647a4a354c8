// In which state an item of the queue is, for whoever is told of it.

import { isSending } from "./channel.js";
import * as store from "./store.js";

// What says most before what says least.
export const STATES = ["needs_you", "sending", "saved", "sent"];

// How long the phone remembers, and tells, what the server has: so long that what is saved once more
// after the browser was killed is known, and no longer. A clock that was changed ends it too.
const REMEMBERED_MS = 12 * 3600 * 1000;

export const isPast = ({ state, sent_at }) =>
  state === "sent" && !(Math.abs(Date.now() - Date.parse(sent_at)) < REMEMBERED_MS);

// The items as they are: a full phone may not have been able to note that sending ended.
export const items = async () => {
  const found = await store.all("queue");
  if (!found.some(({ state }) => state === "sending") || (await isSending())) return found;
  return found.map((item) => (item.state === "sending" ? { ...item, state: "saved" } : item));
};

// A reading without any score: looked at, and not touched.
export const isUnscored = ({ kind, body }) =>
  kind === "assessment" && Boolean(body?.not_safe?.length) && !body.overall && !Object.keys(body.regions ?? {}).length;
