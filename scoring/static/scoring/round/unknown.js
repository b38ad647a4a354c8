// An animal that nobody knows, taken in without a connection: made on the phone, with what was seen
// of it and its photos, and scored here like any other of the round.

import { links } from "./dialling.js";
import * as drafts from "./drafts.js";
import { uuid7 } from "./ids.js";
import { keeper } from "./intake.js";
import { begin as beginPhotos } from "./photos.js";
import { REGIONS } from "./rules/overall.js";
import * as queue from "./queue.js";
import * as store from "./store.js";
import { scoreLink, taken } from "./take.js";
import { told } from "./values.js";

const form = document.querySelector("[data-unknown]");
const words = JSON.parse(form.dataset.words);
const part = (name) => form.querySelector(`[data-${name}]`);
const USUAL = { donkey: "donkey" };

const fault = (text) => {
  part("fault").textContent = text;
  part("fault").hidden = !text;
};

// It walks along at the end of the round, once, so that the scoring form finds it.
const join = async (round, horse) => {
  const others = round.horses.filter(({ id }) => id !== horse.id);
  const order = Math.max(0, ...others.map((each) => each.order)) + 1;
  const due = { score_at: new Date().toISOString(), weight_at: new Date().toISOString(), state: "due" };
  const row = {
    sex: null, ...horse, kind: null, use: "leisure", breeding: null, born: null, height_cm: null,
    is_unknown: true, scale: USUAL[horse.species] ?? "five", order, due, caution: "", foal_at_foot: false,
  };
  await store.put("rounds", { ...round, horses: [...others, row] });
  return row;
};

// Looked at and not touched is an answer too, kept as a score without scores.
const notSafe = (horse, seen) => ({
  horse, taken_at: seen.at, scale: USUAL[seen.species] ?? "five", manner: "visual",
  not_safe: seen.species in USUAL ? ["overall"] : REGIONS, looked_for_danger: seen.looked,
  ...(seen.note && { note: seen.note }),
});

// What is scored by hand next begins with what was looked for and written down here.
const begun = async (kept, { id, scale }, { looked, note }) => {
  const key = drafts.keyOf(kept.whose, id);
  if (!(looked || note) || await drafts.take(key)) return;
  const values = { ...(note && { note }), ...(looked && { looked_for_danger: "true" }) };
  await drafts.keep(key, { horse: id, scale, step: "look", values, photos: [] });
};

// Saved once more after the phone was shut down in the middle of it: what has gone has gone, and
// the rest follows. A danger that was entered after that goes as a concern of its own.
const put = async (kept, item) => {
  const first = await store.get("queue", item.id);
  if (first?.state !== "sent") return queue.add(item);
  if (item.kind !== "concern" || JSON.stringify(first.body) === JSON.stringify(item.body)) return null;
  kept.ids.concern = uuid7();
  await kept.keep();
  return queue.add({ ...item, id: kept.ids.concern });
};

const seenBy = (at) => {
  const sent = new FormData(form);
  const danger_signs = sent.getAll("danger_signs");
  return { at, danger_signs, note: sent.get("note").trim(), looked: sent.has("looked_for_danger"), species: sent.get("species"), sex: sent.get("sex") };
};

// What it came with on the way in goes first, its photos last; the same ids however often it is
// pressed.
const keep = async (round, kept, isNotSafe) => {
  const { ids, photos, made: { at } } = kept;
  const seen = seenBy(at);
  const name = form.elements.name.value.trim() || kept.made.name;
  const horse = { id: ids.horse, name, species: seen.species, ...(seen.sex && { sex: seen.sex }) };
  const about = { horse: ids.horse, name, yard: round.yard.id };
  const body = { name, species: horse.species, yard: round.yard.id, is_unknown: true, ...(seen.sex && { sex: seen.sex }) };
  await put(kept, { kind: "horse", id: ids.horse, body, about });
  // Marks alone are no concern: nobody is to be woken for two white socks.
  if (seen.danger_signs.length) {
    const { danger_signs, note } = seen;
    const sign = { horse: ids.horse, seen_at: at, danger_signs, note };
    await put(kept, { kind: "concern", id: ids.concern, body: sign, about, after: ids.horse });
  }
  if (isNotSafe) {
    const reading = { id: ids.assessment, ...notSafe(ids.horse, seen) };
    await put(kept, { kind: "assessment", id: ids.assessment, body: reading, about, after: ids.horse });
  }
  for (const { id, blob, side, taken_at } of photos) {
    const shot = { of: "horse", of_id: ids.horse, side, taken_at };
    await put(kept, { kind: "photo", id, body: shot, blob, about, after: ids.horse });
  }
  const row = await join(round, horse);
  if (!isNotSafe) await begun(kept, row, seen);
  return row;
};

const saved = () => {
  form.hidden = true;
  const done = document.querySelector("main [data-saved]");
  done.hidden = false;
  done.querySelector("h2").focus();
};

const brought = (kept) => {
  part("brought").hidden = !kept.isBack;
  part("brought").querySelector("button").addEventListener("click", async () => {
    await kept.drop();
    location.reload();
  });
};

const dialled = (rounds) => {
  const yard = form.elements.yard;
  part("none").hidden = rounds.length > 0;
  yard.replaceChildren(...rounds.map((round) => new Option(round.yard.name, round.yard.id)));
  return () => rounds.find((round) => round.yard.id === yard.value);
};

const save = async (round, kept, action) => {
  fault("");
  if (!round) return fault(words.no_yard);
  if (!form.elements.species.value) return fault(words.no_species);
  const { made } = kept;
  made.at ||= new Date().toISOString();
  made.name ||= told(words.nameless, { at: new Date(made.at).toLocaleString(document.documentElement.lang) });
  await kept.keep();
  const horse = await keep(round, kept, action !== "score");
  await kept.drop();
  return action === "score" ? location.assign(scoreLink(horse)) : saved();
};

// "Looked, none seen" and a sign seen contradict each other: the later tick stands.
const contradict = ({ target }) => {
  if (!target.checked) return;
  const [signs, none] = [form.querySelectorAll("[name=danger_signs]"), form.elements.looked_for_danger];
  if (target === none) for (const sign of signs) sign.checked = false;
  else if (target.name === "danger_signs") none.checked = false;
};

const begin = async () => {
  form.addEventListener("change", contradict);
  const round = dialled(await taken());
  const dial = () => part("dials").replaceChildren(...(round() ? links(round().vet, words, part("dial")) : []));
  const kept = await keeper(form);
  brought(kept);
  form.elements.yard.addEventListener("change", dial);
  dial();
  await beginPhotos({ form, words, keeper: kept });
  let busy = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    try {
      await save(round(), kept, event.submitter?.value);
    } catch (error) {
      fault(words[`not_kept_${error.why}`] ?? words.not_kept);
    } finally {
      busy = false;
    }
  });
  for (const button of form.querySelectorAll("[type=submit]")) button.disabled = false;
};
begin().catch(() => fault(words.not_kept));
