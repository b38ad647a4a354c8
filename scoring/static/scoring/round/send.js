// Sends what waits, one sender at a time over all tabs and the service worker. The server knows an
// id that it has seen, so that sending twice after a lost answer makes nothing twice.

import { SENDER, announce } from "./channel.js";
import * as order from "./order.js";
import { GONE, post } from "./post.js";
import * as queue from "./queue.js";
import * as store from "./store.js";
import * as who from "./who.js";

const LEAST_MS = 1000;
const MOST_MS = 60_000;
// How long the server's wish to be left alone is kept; a clock that was put back ends it too.
const MOST_REST_MS = 900_000;
const REST = "rest";

const fulfilled = (status) => status === 200 || status === 201;

// Why an item needs somebody, by the status that its refusal had.
const reason = ({ status, problem }) => {
  const kinds = { 409: "conflict", 413: "too_large", [GONE]: "lost" };
  return {
    kind: kinds[status] ?? "refused", status,
    detail: problem?.detail ?? "", errors: problem?.errors ?? [],
  };
};

const settleEach = async (items, each, run) => {
  for (const [at, result] of each.entries()) {
    const { id } = items[at];
    run.skipped.add(id);
    if (fulfilled(result.status)) await queue.acknowledge(id, result.status);
    else if (result.status >= 400 && result.status < 500 && result.status !== 429) {
      await queue.hold([id], reason(result));
    } else {
      await queue.release([id]);
      run.left = true;
    }
  }
};

// The server asked to be left alone for a while: told to every tab, and to those opened meanwhile.
const rest = async (seconds) => {
  const until = Date.now() + seconds * 1000;
  await store.put("meta", { key: REST, until }).catch(() => {});
};

const resting = async () => {
  const until = (await store.get("meta", REST))?.until ?? 0;
  const ms = until - Date.now();
  return ms > 0 && ms <= MOST_REST_MS ? ms : 0;
};

// Do one request; returns whether to go on with the next.
const step = async (items, run) => {
  const ids = items.map((item) => item.id);
  await queue.begin(ids);
  const outcome = await post(items);
  if (outcome.kind === "answered") {
    await settleEach(items, outcome.each, run);
    run.heard = true;
    return true;
  }
  if (outcome.kind === "held") {
    await queue.hold(ids, outcome.why);
    run.shut.add(order.owner(items[0]));
    return true;
  }
  await queue.release(ids);
  if (outcome.kind === "apart") {
    for (const id of ids) run.single.add(id);
    return true;
  }
  for (const id of ids) run.skipped.add(id);
  run.left = true;
  run.wait = Math.max(run.wait, outcome.wait);
  if (outcome.wait) await rest(outcome.wait);
  return !outcome.stop;
};

// A page that the server made for somebody knows whose items can go, without asking for each.
const shutOthers = async (run) => {
  const here = who.named();
  if (!here) return;
  for (const item of await queue.all()) {
    if (item.state === "sent" || who.isTheirs(item, here)) continue;
    run.shut.add(order.owner(item));
    const kind = item.organisation === here.organisation ? "other_person" : "other_organisation";
    if (item.state === "saved") await queue.hold([item.id], { kind, detail: "", errors: [] });
  }
};

const send = async () => {
  const run = {
    skipped: new Set(), shut: new Set(), single: new Set(), left: false, heard: false, wait: 0,
  };
  await queue.settle();
  await shutOthers(run);
  run.wait = (await resting()) / 1000;
  run.left = run.wait > 0 && order.next(await queue.all(), run).length > 0;
  let going = !run.wait;
  while (going) {
    const items = order.next(await queue.all(), run);
    going = items.length > 0 && (await step(items, run));
  }
  return run;
};

const alone = (work) =>
  navigator.locks ? navigator.locks.request(SENDER, work) : work();

// Forget what was sent long ago, where nothing waits.
export const settle = () => alone(queue.settle);

let running = null;
let once_more = false;
let timer = 0;
let failures = 0;

// Full jitter: anywhere between at once and a time that doubles, so that phones that came back
// together do not all ask together again.
const later = (run) => {
  failures = run.heard ? 0 : failures + 1;
  const most = Math.min(MOST_MS, LEAST_MS * 2 ** failures);
  const pause = run.wait * 1000 + Math.random() * most;
  clearTimeout(timer);
  timer = setTimeout(() => flush().catch(() => {}), pause);
  return pause;
};

// Send all that may go. Resolves with whether something is left that is tried again by itself.
export const flush = async () => {
  if (running) {
    once_more = true;
    return running;
  }
  clearTimeout(timer);
  running = (async () => {
    let run = null;
    do {
      once_more = false;
      run = await alone(send);
    } while (once_more);
    const retry_ms = run.left ? later(run) : 0;
    if (!run.left) failures = 0;
    announce({ type: "flushed", left: run.left, retry_ms });
    return run.left;
  })();
  try {
    return await running;
  } finally {
    running = null;
    if (once_more) flush().catch(() => {});
  }
};

// Somebody asks, or the phone is back: do not sit out the pause.
export const flushNow = () => {
  failures = 0;
  return flush();
};
