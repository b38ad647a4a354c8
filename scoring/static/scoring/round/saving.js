// Saving: a page of one horse posts its form as it always did, while the server can be reached; a
// shell, and such a page whose connection went meanwhile, put the reading and then its photos into
// the phone's queue, and say so only when they are durable there.

import * as alive from "./alive.js";

// A form posted to nobody ends on a page of the browser's.
const reached = async () => navigator.onLine && Boolean(await alive.answer());

const keep = async (page) => (await import("./shell.js")).keep(page);

export const begin = (page) => {
  const { form, words, facts } = page;
  let busy = false;
  let passing = false;

  const toQueue = async () => {
    try {
      await keep(page);
    } catch (error) {
      // Why else it is not kept is said at the head of the page.
      if (!["gone", "nobody", "blocked"].includes(error.why)) page.say(words.not_kept);
    }
  };

  // What cannot be kept here is posted all the same: its draft brings it back.
  const toServer = async (button) => {
    const isKept = !(await reached()) && (await keep(page).then(() => true, () => false));
    if (isKept) return;
    // Without the step, which would be carried over to the answer's address.
    form.action = location.pathname + location.search;
    passing = true;
    form.requestSubmit(button);
  };

  form.addEventListener("submit", async (event) => {
    if (passing) {
      passing = false;
      return;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
    const missing = page.unanswered();
    if (missing.length) {
      page.go(missing[0]);
      page.want(form.querySelector(`[data-step=${missing[0]}] [data-ruler]`));
      return;
    }
    if (busy) return;
    busy = true;
    try {
      await (facts.horse ? toServer(event.submitter) : toQueue());
    } finally {
      busy = false;
    }
  }, { capture: true });
};
