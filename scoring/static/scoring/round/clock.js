// How far this phone's clock is behind the server's, by the Date of the server's answers. A clock
// that was put right between scoring and sending would tell the server that it was never wrong: what
// was taken with another clock is sent with what that clock would show now.

import * as alive from "./alive.js";
import * as store from "./store.js";

const KEY = "clock";
// Less than this is the way there and back, and no other clock.
const SLACK_MS = 120_000;
// A note that seems older, or still to come, is of a clock that was changed since: it tells nothing.
const TRUSTED_MS = 24 * 3600 * 1000;

// What this page heard, and when its time began by the clock as it was then.
let heard = null;

const began = () => Date.now() - performance.now();

export const note = async ({ headers }) => {
  const behind = Date.parse(headers.get("Date") ?? "") - Date.now();
  if (Number.isNaN(behind)) return;
  heard = { behind, began: began() };
  await store.put("meta", { key: KEY, behind, at: Date.now() }).catch(() => {});
};

// By how much the clock is behind with which something is entered now, as far as that is known.
export const known = async () => {
  const noted = await store.get("meta", KEY);
  const age = Date.now() - (noted?.at ?? NaN);
  return age > -SLACK_MS && age < TRUSTED_MS ? noted.behind : null;
};

// By how much it is behind as something is sent: asked for anew unless the clock ran on evenly since
// this page last heard. Null if nobody answers.
export const now = async () => {
  const isEven = heard && Math.abs(began() - heard.began) < SLACK_MS;
  if (isEven) return heard.behind;
  const answer = await alive.answer();
  if (answer) await note(answer);
  return answer ? (heard?.behind ?? 0) : null;
};

// What the clock shows now that an item was taken with.
export const shows = ({ behind: then }, behind) => {
  const isOther = Number.isFinite(then) && Math.abs(behind - then) > SLACK_MS;
  return new Date(Date.now() + (isOther ? behind - then : 0)).toISOString();
};
