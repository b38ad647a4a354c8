// Where there is no network: the rounds that this phone took along, and the horses of the one that
// was asked for. A horse's own scoring page becomes the shell that the phone keeps.

import * as marks from "./marks.js";
import { roundOf, scoreLink, taken } from "./take.js";
import { clock, isToday, moment, told } from "./values.js";

const main = document.querySelector("[data-away]");
const words = JSON.parse(main.dataset.words);
const part = (name) => main.querySelector(`[data-${name}]`);
const fresh = (name) => part(name).content.firstElementChild.cloneNode(true);
const UUID = "[0-9a-f-]{36}";

const yardLine = (round) => {
  const line = fresh("yard");
  line.querySelector("a").href = `/round/${round.yard.id}/`;
  line.querySelector("b").textContent = round.yard.name;
  line.querySelector("span").textContent = told(words.taken, { at: moment(round.taken_at) });
  return line;
};

const isBy = (at) => new Date(at) <= new Date();

// What is due by now, and since when by the yard's calendar as it was when the round was taken along.
const dueWord = ({ state, score_at, weight_at }) => {
  const [score, weight] = [isBy(score_at), isBy(weight_at)];
  const what = score && weight ? "both" : weight ? "weight" : "score";
  if (state === "overdue") return words.overdue[what];
  return state === "due" || score || weight ? words.due[what] : "";
};

const horseLine = (horse, scoredAt) => {
  const line = fresh("horse");
  line.dataset.horse = horse.id;
  if (isToday(scoredAt)) line.dataset.entered = told(words.scored_today, { at: clock(scoredAt) });
  if (isBy(horse.due.weight_at)) line.dataset.weightDue = "";
  line.querySelector(".at").textContent = horse.order;
  line.querySelector("h2").textContent = horse.name;
  line.querySelector(".who p").textContent = horse.is_unknown ? words.unknown : "";
  const due = dueWord(horse.due);
  line.querySelector(".tag").textContent = due;
  line.querySelector(".when").hidden = !due;
  line.querySelector("[data-slot=caution]").hidden = !horse.caution;
  line.querySelector("[data-slot=caution] span").textContent = horse.caution;
  line.querySelector("[data-slot=foal]").hidden = !horse.foal_at_foot;
  const link = line.querySelector("a");
  link.classList.toggle("go", Boolean(due));
  link.href = scoreLink(horse);
  link.querySelector("span").textContent = words.score;
  link.querySelector(".vh").textContent = ` ${horse.name}`;
  return line;
};

const showRound = async (round) => {
  const isDueFirst = new URLSearchParams(location.search).get("first") === "due";
  const horses = isDueFirst
    ? [...round.horses].sort((one, other) => Boolean(dueWord(other.due)) - Boolean(dueWord(one.due)) || one.order - other.order)
    : round.horses;
  part("slot=title").textContent = round.yard.name;
  part("slot=said").textContent = told(isDueFirst ? words.due_first : words.taken, { at: moment(round.taken_at) });
  part("handling").hidden = false;
  part("horses").replaceChildren(...horses.map((horse) => horseLine(horse, round.scored?.[horse.id])));
  await marks.begin(part("horses"), () => main.querySelectorAll("[data-horses] [data-horse]"));
};

const begin = async () => {
  const rounds = await taken();
  const scoring = location.pathname.match(new RegExp(`^/horses/(${UUID})/score/$`))?.[1];
  const horse = rounds.flatMap((round) => round.horses).find((each) => each.id === scoring);
  if (horse) return location.replace(scoreLink(horse));
  const walked = location.pathname.match(new RegExp(`^/round/(${UUID})/$`))?.[1];
  const round = walked ? await roundOf(walked) : null;
  part("none").hidden = rounds.length > 0;
  part("rounds").replaceChildren(...rounds.filter((each) => each.yard.id !== round?.yard.id).map(yardLine));
  if (round) await showRound(round);
};

part("retry").addEventListener("click", () => location.reload());
begin();
