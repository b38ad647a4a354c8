// The unknown animal that is being taken in: kept at every change, so that nothing of it is lost
// with a page that was closed, under ids that stay the same however often it is saved; so do the
// name that is made up for it and when it was seen.

import { uuid7 } from "./ids.js";
import { phone } from "./phone.js";
import { fill, read } from "./values.js";

const SOON = 300;
const IDS = ["horse", "concern", "assessment"];
const MADE = ["name", "at"];

export const keeper = async (form) => {
  const [drafts, whose] = [await phone.drafts(), await phone.whose()];
  const key = drafts?.intakeKey(whose);
  const found = await Promise.resolve(drafts?.take(key)).catch(() => null);
  const kept = {
    isBack: Boolean(found),
    photos: (found?.photos ?? []).map((id) => ({ id })),
    ids: Object.fromEntries(IDS.map((name) => [name, found?.values[`id.${name}`] ?? uuid7()])),
    // Once it was saved for the first time.
    made: Object.fromEntries(MADE.map((name) => [name, found?.values[`made.${name}`] ?? ""])),
    whose,
    stopped: false,
  };
  if (found) fill(form, found.values);

  kept.keep = async () => {
    if (kept.stopped) return;
    const own = Object.fromEntries([
      ...IDS.map((name) => [`id.${name}`, kept.ids[name]]), ...MADE.map((name) => [`made.${name}`, kept.made[name]]),
    ]);
    const photos = kept.photos.map(({ id }) => id);
    // What cannot be kept now is said when it is saved: nothing is promised before.
    await drafts?.keep(key, { horse: null, scale: "", step: "", values: { ...read(form), ...own }, photos })
      .catch(() => {});
  };
  kept.drop = async () => { kept.stopped = true; await drafts?.drop(key); };

  let waiting = 0;
  form.addEventListener("change", () => kept.keep());
  form.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(kept.keep, SOON); });
  return kept;
};
