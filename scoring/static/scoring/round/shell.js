// Who is scored, and where the score goes, on a shell: it holds no horse, and takes it from the round
// that this phone took along, by the id in the address; the score goes into the phone's queue.

import { listen } from "./channel.js";
import { links } from "./dialling.js";
import { uuid7 } from "./ids.js";
import * as left from "./left.js";
import { phone } from "./phone.js";
import { reading } from "./rules/sheet.js";
import { scoreLink, taken } from "./take.js";
import { fill, isToday, read, told } from "./values.js";

// The clock of a yard now, as a field for a local time begins.
const localNow = (zone) => {
  const parts = new Intl.DateTimeFormat("sv-SE", {
    timeZone: zone, dateStyle: "short", timeStyle: "short",
  }).format(new Date());
  return parts.replace(" ", "T");
};

const show = (name, text) => {
  for (const slot of document.querySelectorAll(`[data-of=${name}]`)) {
    slot.textContent = text;
    slot.hidden = !text;
  }
};

const dress = ({ form, words, facts }, round, horse, back) => {
  document.title = horse.name;
  show("name", horse.name);
  const name = document.querySelector("[data-of=name]");
  name.classList.toggle("long", horse.name.length > Number(name.dataset.long));
  show("yard", round.yard.name);
  show("use", "");
  show("caution-text", horse.caution);
  for (const slot of document.querySelectorAll("[data-of=caution]")) slot.hidden = !horse.caution;
  const lines = links(round.vet, words, document.querySelector("[data-dial]"));
  if (lines.length) document.querySelector("[data-of=vet] .dials").replaceChildren(...lines);
  for (const link of document.querySelectorAll("[data-of=round]")) link.href = back;
  for (const link of form.querySelectorAll("[data-scale]")) {
    link.hidden = horse.species === "donkey";
    link.href = `/round/score/${link.dataset.scale}/#${horse.id}`;
  }
  const tapes = form.elements["weighing.instrument"];
  tapes.append(...round.instruments.map(({ id, label }) => new Option(label, id)));
  facts.zone = round.yard.time_zone;
  facts.rule = round.overall_rule ?? facts.rule;
  // Of a stallion a crest is not counted: what is suggested asks this of the form.
  form.dataset.sex = horse.sex ?? "";
  form.dispatchEvent(new Event("change", { bubbles: true }));
  form.elements.id.value ||= uuid7();
  form.elements.taken_at.value ||= localNow(facts.zone);
};

const ANIMAL = /^#[0-9a-f-]{36}/;

// Another horse's address over this horse's form is another page: of a shell only what follows the
// hash differs. Heard before the form's own steps hear of it.
const reloadElsewhere = () => {
  const own = location.hash.slice(0, 37);
  for (const moved of ["popstate", "hashchange"]) {
    window.addEventListener(moved, (event) => {
      if (!ANIMAL.test(location.hash) || location.hash.startsWith(own)) return;
      event.stopImmediatePropagation();
      location.reload();
    });
  }
};

// The horse to be scored; null where the phone has no such horse, which is said.
export const arrive = async (page) => {
  reloadElsewhere();
  const wanted = location.hash.slice(1, 37);
  for (const round of await taken().catch(() => [])) {
    const horse = round.horses.find((each) => each.id === wanted);
    if (!horse) continue;
    dress(page, round, horse, (await import("./marks.js")).roundLink(round.yard));
    return { ...horse, yard: round.yard, is_pregnant: horse.breeding === "pregnant" };
  }
  for (const part of page.form.querySelectorAll("[data-step], .save")) part.hidden = true;
  page.form.querySelector("[data-no-horse]").hidden = false;
  return null;
};

const DAY_MS = 86_400_000;
const day = (at) => new Date(at).setHours(0, 0, 0, 0);
// Days since something of a horse fell due: 0 today, below 0 before.
const late = ({ due }) => Math.round((day(Date.now()) - Math.min(day(due.score_at), day(due.weight_at))) / DAY_MS);

// Who is next in the order that the walk was opened in: those behind this horse first, then from the
// first; nobody who was answered on this phone today.
const following = async ({ id }) => {
  const rounds = await taken().catch(() => []);
  const { horses: walk = [], scored = {} } = rounds.find(({ horses }) => horses.some((each) => each.id === id)) ?? {};
  const { doneToday, isDueFirst } = await import("./marks.js");
  const done = await doneToday().catch(() => new Set());
  const left = walk.filter((each) => each.id !== id && !done.has(each.id) && !isToday(scored[each.id]));
  const { order } = walk.find((each) => each.id === id) ?? {};
  const dueFirst = isDueFirst();
  const rank = (each) => [dueFirst && late(each) < 0, each.order < order];
  const before = ([due, behind], [otherDue, otherBehind]) => due - otherDue || behind - otherBehind;
  return left.sort((one, other) => before(rank(one), rank(other)) || one.order - other.order)[0] ?? null;
};

// And why now, where something is due.
const whyNext = (words, horse) => {
  const n = late(horse);
  const said = n > 1 ? words.next_late : { 0: words.next_due, 1: words.next_late_one }[n] ?? words.next_horse;
  return told(said, { name: horse.name, n });
};

// The score's id and how many photos this phone could not keep; what raises kept nothing.
const queued = async (page) => {
  const { form, facts, horse, keeper } = page;
  const queue = await phone.queue();
  const body = { ...reading(read(form), facts.zone), horse: horse.id };
  const about = { horse: horse.id, name: horse.name, yard: horse.yard.id };
  await queue.add({ kind: "assessment", id: body.id, body, about });
  let unkept = 0;
  for (const { id, blob, side, sha256, taken_at } of keeper.photos) {
    const shot = { of: "assessment", of_id: body.id, side, taken_at, sha256 };
    await queue.add({ kind: "photo", id, body: shot, blob, about, after: body.id }).catch(() => { unkept += 1; });
  }
  left.leave(keeper.key, read(form), "queue");
  // The score is durable: what is left of its draft could only be saved a second time.
  await keeper.drop().catch(() => {});
  return { id: body.id, unkept };
};

// Who was seen in danger comes before whoever is next: the numbers to ring, at the head.
const warn = ({ form, words }, then) => {
  if (!form.querySelector("[name=danger_signs]:checked")) return;
  const said = Object.assign(document.createElement("p"), { className: "place", textContent: words.danger_then });
  then.prepend(said, ...[...form.querySelectorAll("[data-of=vet] .dials")].map((each) => each.cloneNode(true)));
};

// What is said then is in the shells, which a phone keeps; the page of one horse does without.
const wordsOf = async ({ facts, words }) => {
  if (!facts.horse) return words;
  const shell = await (await fetch(`/round/score/${facts.scale}/`)).text();
  const { body } = new DOMParser().parseFromString(shell, "text/html");
  return { ...words, ...JSON.parse(body.querySelector("[data-words]").dataset.words) };
};

const shown = async (page, words, { id, unkept }) => {
  const { form, horse } = page;
  const then = form.querySelector("[data-then]");
  const next = then.querySelector("[data-next-horse]");
  form.dataset.saved = "";
  form.querySelector("[data-bar]").hidden = true;
  form.querySelector("[data-brought]").hidden = true;
  then.hidden = false;
  const more = unkept ? ` ${told(words.photos_unkept, { n: unkept })}` : "";
  const say = (text) => { then.querySelector("[data-sum=kept]").textContent = `${text}${more}`; };
  say(words.kept);
  // Said as it is while this page is open: once the server has it, it has arrived.
  listen(async ({ type }) => {
    if (type !== "queue" && type !== "flushed") return;
    const item = await (await phone.store())?.get("queue", id);
    if (item?.state === "sent") say(words.arrived);
  });
  warn({ form, words }, then);
  const after = await following(horse);
  next.textContent = after ? whyNext(words, after) : words.walked;
  next.href = after ? scoreLink(after) : (await import("./marks.js")).roundLink(horse.yard);
  // The same page with another horse in its address is another page.
  next.addEventListener("click", (event) => {
    if (next.pathname !== location.pathname) return;
    event.preventDefault();
    location.assign(next.href);
    location.reload();
  });
  next.focus({ preventScroll: true });
  window.scrollTo(0, 0);
  return { next, say };
};

// Keep the score and its photos in the queue; resolves once the score is durable, raises if it is
// not. A photo that finds no room is told apart: the score stands without it.
export const keep = async (page) => {
  const words = await wordsOf(page);
  await shown(page, words, await queued(page));
};

// Back on a form that was saved, which is no form any more: what was entered, and where it is now.
// Of what was taken out of the queue nothing is known.
export const again = async (page) => {
  const { form, keeper } = page;
  const { values, to } = left.found(keeper.key) ?? {};
  if (!values) return;
  const item = await (await phone.store())?.get("queue", values.id);
  if (to === "queue" && !item) return;
  const words = await wordsOf(page);
  fill(form, values);
  for (const ruler of form.querySelectorAll("[data-ruler]")) ruler.dispatchEvent(new Event("change"));
  keeper.stopped = true;
  const { next, say } = await shown(page, words, { id: values.id, unkept: 0 });
  if (!item || item.state === "sent") say(words.arrived);
  if (item) return;
  next.textContent = words.read_it;
  next.href = `/assessments/${values.id}/`;
};
