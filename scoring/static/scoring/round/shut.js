// On a page that says which yards are open, and on one that refuses: a round that this phone keeps of
// a yard that is not there, or that was refused, is asked for. If it is shut, it goes.

import { ask, taken } from "./take.js";

const list = document.querySelector("[data-rounds]");

const isDoubted = ({ yard, horses }) => list
  ? !list.querySelector(`[data-yard="${yard.id}"]`)
  : [yard, ...horses].some(({ id }) => location.pathname.includes(id));

for (const round of await taken()) {
  if (isDoubted(round)) await ask(round.yard.id).catch(() => {});
}
