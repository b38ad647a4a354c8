// The draft of this horse: kept on the phone at every change, brought back when the page is opened
// again, dropped when the score is safe elsewhere. A form that came back with faults is newer.

import { phone } from "./phone.js";
import { fill, moment, read, told } from "./values.js";

const SOON = 300;

// A draft that can be brought back: what cannot must not keep its horse from being scored.
const whole = (found) => {
  const isWhole = found?.values && typeof found.values === "object" && Array.isArray(found.photos) &&
    !Number.isNaN(Date.parse(found.at));
  return isWhole ? found : null;
};

export const keeper = async (page) => {
  const { form, words, facts } = page;
  const [drafts, whose] = [await phone.drafts(), await phone.whose()];
  // Nobody's unfinished score is shown to another, or written over.
  const key = drafts?.keyOf(whose, page.horse.id);
  const kept = { key, step: null, photos: [], stopped: false };
  // Opened and left again, a form is no unfinished score.
  let begun = false;

  const draft = () => ({
    horse: page.horse.id, scale: facts.scale, step: page.step(),
    values: { ...read(form), laid: String(page.laid), revealed: page.revealed ?? "" },
    photos: kept.photos.map(({ id }) => id),
  });
  kept.keep = async () => {
    if (kept.stopped || !begun) return;
    try { await drafts.keep(key, draft()); } catch { kept.failed(); }
  };
  // Said once: what is typed stays on the page, but would go with it.
  kept.failed = () => {
    kept.stopped = true;
    const note = form.querySelector("[data-brought]");
    note.querySelector("span").textContent = words.unkept;
    note.querySelector("button").hidden = true;
    note.hidden = false;
  };
  kept.drop = async () => { kept.stopped = true; await drafts?.drop(key); };

  const bringBack = (found) => {
    begun = true;
    // What a draft says nothing of stays as the form begins.
    fill(form, { ...read(form), ...found.values });
    if (form.elements.note.value) form.elements.note.closest("details").open = true;
    // Whoever says something of the answers says it of these now.
    for (const ruler of form.querySelectorAll("[data-ruler]")) {
      ruler.dispatchEvent(new Event("change", { bubbles: true }));
    }
    page.laid = found.values.laid === "true";
    page.revealed = found.values.revealed;
    // A step of an older version is part of the last but one now.
    const at = page.names.indexOf(found.step);
    kept.step = found.step ? page.names.at(at < 0 ? -2 : at) : null;
    kept.photos = found.photos.map((id) => ({ id }));
    const note = form.querySelector("[data-brought]");
    note.querySelector("span").textContent = told(words.brought, { at: moment(found.at) });
    note.hidden = false;
    // At the step that one comes back to; whoever goes on has seen it.
    let shown = 0;
    form.addEventListener("step", () => { note.hidden ||= (shown += 1) > 1 && !kept.stopped; });
    note.querySelector("button").addEventListener("click", async () => {
      await kept.drop();
      history.replaceState(null, "", location.hash.replace(/&?step=\w+/, "") || location.pathname);
      location.reload();
    });
  };

  const isBack = Boolean(document.getElementById("faults"));
  const found = isBack ? null : await Promise.resolve(drafts?.take(key)).then(whole, () => null);
  if (found && facts.horse && found.scale !== facts.scale && !location.search.includes("scale=")) {
    location.replace(`?scale=${found.scale}${location.search.replace("?", "&")}`);
  }
  if (found?.scale === facts.scale) bringBack(found);

  let waiting = 0;
  const soon = () => { clearTimeout(waiting); waiting = setTimeout(kept.keep, SOON); };
  form.addEventListener("change", () => { begun = true; kept.keep(); });
  form.addEventListener("input", () => { begun = true; soon(); });
  form.addEventListener("step", ({ detail }) => {
    begun ||= detail !== page.names[0];
    kept.keep();
  });
  document.addEventListener("visibilitychange", () => { if (document.hidden) kept.keep(); });
  return kept;
};
