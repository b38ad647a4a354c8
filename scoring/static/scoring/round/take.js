// Takes a round along: the yard's horses and what scoring them needs in one store, what may be shown
// only after a horse has its score in another. Says when it was taken. Lets go of it once the server
// says that the yard is shut to whoever works here.

import * as clock from "./clock.js";
import * as marks from "./marks.js";
import * as store from "./store.js";
import { moment, told } from "./values.js";
import * as who from "./who.js";

const API = "/api/v1/rounds/";
const PATIENCE_MS = 30_000;

// Thrown when the server did not hand the round out. why: offline (no connection) | refused | shut
// (the yard is not open to whoever works here: said by our server, and of them)
export class NotTaken extends Error {
  constructor(why) {
    super(`not taken: ${why}`);
    this.why = why;
  }
}

const isShut = ({ status, headers }) =>
  [403, 404].includes(status) && /^application\/(problem\+)?json/.test(headers.get("Content-Type") ?? "");

// Asked in their name: of a session that is another's by now the server says that, and not what is shut.
const inTheirName = async () => {
  const here = await who.current();
  return here ? { "Halfpoint-Organisation": here.organisation, "Halfpoint-Person": here.person } : {};
};

const fetched = async (path) => {
  let response = null;
  try {
    const headers = await inTheirName();
    response = await fetch(path, { headers, signal: AbortSignal.timeout(PATIENCE_MS) });
    if (response.ok) {
      const found = await response.json();
      await clock.note(response);
      return found;
    }
  } catch {
    throw new NotTaken("offline");
  }
  if (isShut(response)) throw new NotTaken("shut");
  throw new NotTaken(response.status < 500 ? "refused" : "offline");
};

// What was entered there and waits to be sent stays, and so does a form that is not finished.
const letGo = (yard) =>
  store.change(["rounds", "after"], async (rounds, after) => {
    rounds.delete(yard);
    for (const each of await store.asked(after.getAll())) {
      if (each.yard === yard) after.delete(each.id);
    }
  });

// What a yard's round is made of, as the server has it now.
export const ask = async (yard, part = "") => {
  try {
    return await fetched(`${API}${yard}/${part}`);
  } catch (error) {
    if (error.why === "shut") await letGo(yard);
    throw error;
  }
};

// Fetch and keep a yard's round, whole or not at all.
export const take = async (yard) => {
  const round = await ask(yard);
  const { horses: after } = await ask(yard, "after/");
  // When each was scored last, and nothing of the score: who is done today is said on the walk.
  const scored = Object.fromEntries(after.filter(({ last }) => last).map(({ id, last }) => [id, last.at]));
  const row = { ...round, scored, taken_at: new Date().toISOString() };
  await store.change(["rounds", "after", "queue"], async (rounds, later, queue) => {
    const before = await store.asked(rounds.get(yard));
    // An animal that was made here walks along until the server knows of it.
    for (const each of before?.horses.filter(({ is_unknown }) => is_unknown) ?? []) {
      const made = await store.asked(queue.get(each.id));
      const isKnown = row.horses.some(({ id }) => id === each.id);
      if (made && made.state !== "sent" && !isKnown) row.horses = [...row.horses, each];
    }
    for (const each of before?.horses ?? []) later.delete(each.id);
    for (const each of after) later.put({ ...each, yard });
    rounds.put(row);
  });
  return row;
};

const isOf = ({ person, organisation }, here) =>
  !here || who.isTheirs({ person: person.id, organisation }, here);

// The rounds on this phone that are whose turn it is, by the yard's name.
export const taken = async () => {
  const person = await who.current();
  const rounds = (await store.all("rounds")).filter((round) => isOf(round, person));
  return rounds.sort((one, other) => one.yard.name.localeCompare(other.yard.name));
};

export const roundOf = async (yard) => (await taken()).find((round) => round.yard.id === yard) ?? null;

export const scoreLink = (horse) => `/round/score/${horse.scale}/#${horse.id}`;

// --- On the page of a round ---------------------------------------------------------------------

const dress = (box, round) => {
  box.querySelector("p").textContent = told(box.dataset.taken, { at: moment(round.taken_at) });
  box.querySelector("button").textContent = box.dataset.again;
  for (const horse of round.horses) {
    const link = document.querySelector(`[data-horse="${horse.id}"] a.btn`);
    if (link) link.href = scoreLink(horse);
  }
};

const begin = async (box) => {
  const [button, said] = [box.querySelector("button"), box.querySelector("p")];
  const yard = box.dataset.taking;
  button.addEventListener("click", async () => {
    button.disabled = true;
    said.textContent = box.dataset.busy;
    try {
      dress(box, await take(yard));
      await store.persist();
    } catch (error) {
      said.textContent = box.dataset[error.why] ?? box.dataset.failed;
    } finally {
      button.disabled = false;
    }
  });
  box.hidden = false;
  const round = await roundOf(yard);
  if (round) dress(box, round);
  await marks.begin(box, () => document.querySelectorAll("[data-horse]"));
};

const box = globalThis.document?.querySelector("[data-taking]");
if (box) begin(box).catch((error) => { box.querySelector("p").textContent = box.dataset[error.why] ?? ""; });
