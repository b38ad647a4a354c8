// A score that the server answered is safe: its draft is no longer needed, and its photos may go.

import * as bytes from "./bytes.js";
import * as left from "./left.js";
import { phone } from "./phone.js";

const tag = document.querySelector("[data-landed]");

const landed = async () => {
  const { landed: id, horse, name, yard } = tag.dataset;
  const drafts = await phone.drafts();
  const draft = await drafts?.take(drafts.keyOf(await phone.whose(), horse));
  if (draft?.values.id !== id) return;
  left.leave(draft.key, draft.values, "server");
  const [store, queue] = [await phone.store(), await phone.queue()];
  for (const each of draft.photos) {
    const [photo, blob] = [await store.get("photos", each), await bytes.take(each)];
    if (!blob) continue;
    const { side, sha256, taken_at } = photo;
    const body = { of: "assessment", of_id: id, side, taken_at, sha256 };
    await queue.add({ kind: "photo", id: each, body, blob, about: { horse, name, yard } });
  }
  await drafts.drop(draft.key);
};

if (tag) landed();
