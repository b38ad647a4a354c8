// What this phone holds, thing by thing, each with its state, and what a person can do about it.

import { listen } from "./channel.js";
import * as mending from "./mending.js";
import { OF_THE_SENDER } from "./order.js";
import * as queue from "./queue.js";
import { flushNow } from "./send.js";
import { trouble } from "./said.js";
import { STATES, isUnscored } from "./states.js";
import * as store from "./store.js";
import { moment, told } from "./values.js";
import { current, isTheirs } from "./who.js";

const main = document.querySelector("[data-holding]");
const words = JSON.parse(main.dataset.words);
const part = (name) => main.querySelector(`[data-${name}]`);
const kind = (item) => words.kinds[isUnscored(item) ? "unscored" : item.kind];
const called = (item) => item.about?.name || kind(item);
const what = (item) => told(words.by, { kind: kind(item), at: moment(item.added_at) });
const who = (item) => ({ person: item.personName, organisation: item.organisationName });
const SIGN_IN_FIRST = ["signed_out", "other_person", "other_organisation"];

// Do what somebody asked for, and say why if it could not be kept.
const tried = async (work) => {
  try {
    await work();
  } catch (error) {
    trouble(error.why ?? "failed");
    await show();
  }
};

// Ask whether it may go for good; what hangs on it is named, since it goes too.
const remove = async (item) => {
  const dialog = part("removing");
  const hanging = await queue.followers(item.id);
  dialog.querySelector("[data-slot=what]").textContent = `${called(item)}. ${what(item)}`;
  dialog.querySelector("[data-slot=hanging]").textContent = hanging.length
    ? told(words.hanging, { n: hanging.map(kind).join(", ") }) : "";
  dialog.returnValue = "";
  dialog.showModal();
  dialog.addEventListener("close", () => {
    if (dialog.returnValue === "remove") tried(() => queue.resolve(item.id));
  }, { once: true });
};

const offers = (item, read) => {
  const why = item.why?.kind;
  const needs = item.state === "needs_you";
  const ofSender = OF_THE_SENDER.has(why);
  return {
    sign_in: why === "signed_out",
    change: why === "other_person",
    mend: needs && !ofSender && Boolean(read),
    renew: why === "conflict",
    again: needs && !ofSender,
    // What waits for somebody else to come back is not for whoever holds the phone now to remove.
    remove: needs && !SIGN_IN_FIRST.includes(why),
  };
};

// The block of one thing that is not sent yet.
const open = async (item, ids) => {
  const block = part("item").content.firstElementChild.cloneNode(true);
  const say = (name, text) => { block.querySelector(`[data-slot=${name}]`).textContent = text; };
  block.dataset.id = item.id;
  block.querySelector("h3").textContent = called(item);
  say("what", what(item));
  say("whose", told(words.whose, who(item)));
  say("detail", ids.has(item.after) ? words.follows : "");
  const form = block.querySelector("form");
  let read = null;
  if (item.state === "needs_you") {
    say("why", told(words.whys[item.why.kind], who(item)));
    if (item.why.detail) say("detail", item.why.detail);
    read = await mending.begin(form, item, part("field"), words);
  }
  const acts = {
    mend: async () => {
      const body = read();
      await queue.mend(item.id, body, await mending.about(item, body));
    },
    renew: () => queue.renew(item.id),
    again: () => queue.again(item.id),
    remove: () => remove(item),
  };
  for (const [name, isOffered] of Object.entries(offers(item, read))) {
    const button = block.querySelector(`[data-do=${name}]`);
    if (!isOffered) button.remove();
    else if (acts[name]) button.addEventListener("click", () => tried(acts[name]));
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (read) tried(acts.mend);
  });
  return block;
};

const sent = (item) => {
  const block = part("item").content.firstElementChild.cloneNode(true);
  block.dataset.id = item.id;
  block.querySelector("h3").textContent = called(item);
  block.querySelector("[data-slot=what]").textContent =
    `${kind(item)}. ${told(words.sent_at, { at: moment(item.sent_at) })}`;
  block.querySelector(".acts2").remove();
  block.querySelector("form").remove();
  return block;
};

// What others entered here is nobody's to read: how much it is, and whose, so that it is not cleared.
const others = (items, here) => {
  const found = new Map();
  for (const { person, organisation, personName, organisationName } of items) {
    const id = `${organisation} ${person}`;
    const n = (found.get(id)?.n ?? 0) + 1;
    // Nobody here needs no sign-out first; whoever works elsewhere now need not sign in again.
    const way = !here ? "sign_in" : person === here.person ? "" : "change";
    found.set(id, { id, n, state: "others", way, personName, organisationName });
  }
  return [...found.values()];
};

const theirs = (whole) => {
  const block = part("item").content.firstElementChild.cloneNode(true);
  block.dataset.id = whole.id;
  block.querySelector("h3").textContent = whole.personName;
  block.querySelector("[data-slot=what]").textContent = whole.organisationName;
  block.querySelector("[data-slot=why]").textContent = told(whole.way ? words.others : words.elsewhere, { ...who(whole), n: whole.n });
  for (const each of block.querySelectorAll("[data-do]")) {
    if (each.dataset.do !== whole.way) each.remove();
  }
  block.querySelector("form").remove();
  return block;
};

const builders = { sent, others: theirs };

// What is shown of a thing; while that is the same its block stays, with what is being typed in it.
const face = (item, ids) =>
  JSON.stringify([item.state, item.why, item.body, ids.has(item.after), item.n, item.way, item.about]);

const fill = async (state, items, ids) => {
  const box = part(`part=${state}`);
  const list = box.querySelector("ul");
  const before = new Map([...list.children].map((each) => [each.dataset.id, each]));
  const blocks = [];
  for (const item of items) {
    const now = face(item, ids);
    const old = before.get(item.id);
    const block = old?.dataset.face === now ? old
      : await (builders[item.state] ?? open)(item, ids);
    block.dataset.face = now;
    blocks.push(block);
  }
  const isSame = blocks.length === list.children.length && blocks.every((each, at) => each === list.children[at]);
  if (!isSame) list.replaceChildren(...blocks);
  box.hidden = !items.length;
};

const room = async () => {
  const kept = await navigator.storage?.persisted?.().catch(() => false);
  part("safe").textContent = kept ? words.safe : words.unsafe;
  const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  const inMb = (bytes) => (bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0);
  part("room").textContent = quota ? told(words.room, { used: inMb(usage), quota: inMb(quota) }) : "";
};

let asking = null;
let again = false;
const show = async () => {
  if (asking) { again = true; return asking; }
  asking = (async () => {
    do {
      again = false;
      const [items, here] = [await queue.all(), await current()];
      const open = items.filter(({ state }) => state !== "sent");
      const open_ids = new Set(open.map(({ id }) => id));
      const isMine = (item) => isTheirs(item, here);
      const mine = items.filter(isMine);
      for (const state of STATES) {
        const more = state === "needs_you" ? others(open.filter((item) => !isMine(item)), here) : [];
        await fill(state, [...mine.filter((item) => item.state === state), ...more], open_ids);
      }
      part("none").hidden = open_ids.size > 0;
      part("open").hidden = open_ids.size === 0;
    } while (again);
    await room();
  })();
  try { await asking; } finally { asking = null; }
};

const begin = async () => {
  part("now").addEventListener("click", () => flushNow().catch(() => {}));
  listen(({ type, left, retry_ms }) => {
    if (type === "queue" || type === "flushed") show();
    if (type !== "flushed") return;
    part("pending").textContent = left ? told(words.pending, { n: Math.ceil(retry_ms / 1000) }) : "";
  });
  await show();
  await store.persist();
  await room();
};
begin().catch(() => {});
