// What was entered on this phone and waits to be sent. Nothing leaves it before the server has said
// that it keeps it, or a person has said that it may go.
//
// An item: {id, kind, body, about: {horse, name, yard}, after, urgent, person, organisation,
// personName, organisationName, added_at, behind, state, why, tries}.
// behind: by how much the clock was behind that it was entered with; null when that is not known.
// state: saved (waits), sending, sent (remembered for a while, so that what is saved once more after
// the browser was killed is known), needs_you, whose `why` is {kind, detail, errors: [{field,
// message}], status}.

import { announce } from "./channel.js";
import { uuid7, sha256 } from "./ids.js";
import * as bytes from "./bytes.js";
import * as clock from "./clock.js";
import { isPast, items } from "./states.js";
import * as store from "./store.js";
import * as who from "./who.js";

const { NotKept, asked } = store;
const SYNC = "halfpoint-send";

const told = (what = {}) => announce({ type: "queue", ...what });
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

// The browser's own retry, where it has one: it sends even when no page of ours is open.
const askForSync = async () => {
  try {
    const registration = await navigator.serviceWorker?.getRegistration();
    await registration?.sync?.register(SYNC);
  } catch { /* not offered, or not allowed: pages send by themselves */ }
};

const isUrgent = (kind, body) => kind === "concern" || (body.danger_signs ?? []).length > 0;

const made = async ({ kind, id, body, about = {}, after = null }) => {
  const person = await who.current();
  if (!person) throw new NotKept("nobody");
  const { key: _, ...identity } = person;
  return {
    ...identity, id, kind, body, about, after: after ?? undefined, urgent: isUrgent(kind, body),
    added_at: new Date().toISOString(), behind: await clock.known(), state: "saved", why: null,
    tries: 0,
  };
};

// Keep an item; resolves once it is on this phone's disk. Kept once, however often it is tapped.
export const add = async ({ blob = null, ...given }) => {
  try {
    const item = await made(given);
    const photo = blob ? await bytes.row(item.id, blob) : null;
    if (photo) item.body = { ...item.body, sha256: await sha256(photo.bytes) };
    const isNew = await store.change(["queue", "photos"], async (queue, shots) => {
      const first = await asked(queue.get(item.id));
      // An animal made on this phone must be there before what was recorded of it.
      const animal = item.body.horse && (await asked(queue.get(item.body.horse)));
      if (animal && animal.state !== "sent") item.after ??= animal.id;
      if (first && same(first.body, item.body)) return false;
      if (first && (first.state === "sent" || first.state === "sending")) throw new NotKept("gone");
      queue.put(item);
      if (photo) shots.put(photo);
      return true;
    });
    told({ added: isNew });
    askForSync();
  } catch (error) {
    announce({ type: "not_kept", why: error.why ?? "failed" });
    throw error;
  }
};

const oldest = (one, other) =>
  one.added_at < other.added_at ? -1 : Number(one.added_at > other.added_at);

export const all = async () => (await items()).sort(oldest);

const alter = (id, alteration) =>
  store.change("queue", async (queue) => {
    const item = await asked(queue.get(id));
    if (!item || item.state === "sent" || item.state === "sending") throw new NotKept("gone");
    const made = { ...item, ...alteration(item) };
    queue.put(made);
    // What hangs on it is of the same animal.
    if (same(made.about, item.about)) return;
    for (const next of await chain(queue, id)) queue.put({ ...next, about: made.about });
  });

const waiting = { state: "saved", why: null };
const times = ({ taken_at, seen_at }) => [taken_at, seen_at];

// Put right what the server refused; it goes again under the same id, which the server never kept.
// A time that a person entered anew is by the clock of now.
export const mend = async (id, body, about) => {
  const behind = await clock.known();
  await alter(id, (item) => ({
    ...waiting, body, about, urgent: isUrgent(item.kind, body),
    behind: same(times(body), times(item.body)) ? item.behind : behind,
  }));
  told({ added: true });
  askForSync();
};

// Send what is refused once more, as it is: somebody has put right what stood against it.
export const again = async (id) => {
  await alter(id, () => waiting);
  told({ added: true });
  askForSync();
};

// Send as something of its own what the server holds with another content under the same id.
export const renew = async (id) => {
  const fresh = uuid7();
  await store.change(["queue", "photos"], async (queue, shots) => {
    const item = await asked(queue.get(id));
    if (item?.state !== "needs_you") throw new NotKept("gone");
    const photo = await asked(shots.get(id));
    const body = "id" in item.body ? { ...item.body, id: fresh } : item.body;
    queue.put({ ...item, ...waiting, id: fresh, body });
    queue.delete(id);
    if (photo) { shots.put({ ...photo, id: fresh }); shots.delete(id); }
    for (const next of await asked(queue.index("after").getAll(id))) {
      const its = next.body.of_id === id ? { ...next.body, of_id: fresh } : next.body;
      queue.put({ ...next, body: its, after: fresh });
    }
  });
  told({ added: true });
  askForSync();
  return fresh;
};

const chain = async (queue, id) => {
  const found = await asked(queue.index("after").getAll(id));
  const further = await Promise.all(found.map((each) => chain(queue, each.id)));
  return [...found, ...further.flat()];
};

// What cannot be sent without an item: its photos, the scores of an animal made on this phone.
export const followers = (id) => store.change("queue", (queue) => chain(queue, id));

// Remove from this phone what was never sent, with what hangs on it. A person's decision only.
export const resolve = async (id) => {
  await store.change(["queue", "photos"], async (queue, shots) => {
    const item = await asked(queue.get(id));
    if (item?.state === "sending") throw new NotKept("gone");
    const hanging = (await chain(queue, id)).map((each) => each.id);
    for (const each of [id, ...hanging]) { queue.delete(each); shots.delete(each); }
  });
  told();
};

// --- For the sender, who holds the lock ---------------------------------------------------------

// A full disk may refuse to note how far sending has come: that must not keep anything from going.
const each = async (ids, work) => {
  try {
    await store.change(["queue", "photos"], async (queue, shots) => {
      for (const id of ids) {
        const item = await asked(queue.get(id));
        if (item) work(item, queue, shots);
      }
    });
    return true;
  } catch (error) {
    if (error.why === "full") return false;
    throw error;
  }
};

// Put back what a sender that died had in its hands, and forget what was sent long ago.
export const settle = async () => {
  const rows = await store.all("queue");
  const dead = rows.filter((item) => item.state === "sending" || isPast(item));
  if (!dead.length) return;
  await each(dead.map(({ id }) => id), (item, queue) => {
    if (isPast(item)) queue.delete(item.id);
    else queue.put({ ...item, state: "saved" });
  });
  told();
};

export const begin = async (ids) => {
  await each(ids, (item, queue) => {
    queue.put({ ...item, state: "sending", why: null, tries: item.tries + 1 });
  });
  told();
};

// The server keeps it: only now does the phone let go of it.
export const acknowledge = async (id, status) => {
  const noted = await each([id], (item, queue, shots) => {
    queue.put({ ...item, sent_at: new Date().toISOString(), status, state: "sent", why: null });
    shots.delete(id);
  });
  if (!noted) await each([id], (_, queue, shots) => { queue.delete(id); shots.delete(id); });
  told({ acknowledged: id });
};

export const release = async (ids) => {
  await each(ids, (item, queue) => queue.put({ ...item, ...waiting }));
  told();
};

export const hold = async (ids, why) => {
  await each(ids, (item, queue) => queue.put({ ...item, state: "needs_you", why }));
  told();
};
