// Pictures of the animal by side. Each is made small and kept on this phone with the draft; it is
// sent after what it belongs to is safe. Where this phone can keep none, the form itself carries
// them, if it goes anywhere.

import { phone } from "./phone.js";

const THUMB = 240;

export const begin = async (page) => {
  const { form, words, keeper } = page;
  const box = form.querySelector("[data-photos]");
  const store = await phone.store();
  if (!store || !("createImageBitmap" in window) || !crypto.subtle) return;
  const said = box.querySelector("[role=status]");

  // Asked for only where there is a picture.
  const pictures = () => import("./photo.js");
  const bytes = () => import("./bytes.js");

  const show = async (tile, photo) => {
    tile.querySelector("canvas")?.remove();
    tile.querySelector("button").hidden = !photo;
    if (photo) tile.querySelector("label").prepend(await (await pictures()).drawn(photo.blob, THUMB));
  };

  const forget = async (side) => {
    const gone = keeper.photos.filter((each) => each.side === side);
    keeper.photos = keeper.photos.filter((each) => each.side !== side);
    await keeper.keep();
    for (const { id } of gone) await store.drop("photos", id);
  };

  const take = async (tile, file) => {
    const { side } = tile.dataset;
    said.textContent = "";
    try {
      const photo = await (await pictures()).made(file, side);
      const { blob, ...told } = photo;
      await store.put("photos", { ...told, ...await (await bytes()).row(photo.id, blob) });
      await forget(side);
      keeper.photos.push(photo);
      await keeper.keep();
      await show(tile, photo);
      said.textContent = words.photos[side];
    } catch (error) {
      said.textContent = error.why ? words.photo_full : words.photo_failed;
    }
  };

  const bringBack = async ({ id }) => {
    const [told, blob] = await Promise.all([store.get("photos", id), (await bytes()).take(id)]);
    return blob && { ...told, blob };
  };

  (await phone.drafts())?.sweep().catch(() => {});
  for (const tile of box.querySelectorAll("[data-side]")) {
    const input = tile.querySelector("input");
    input.removeAttribute("name");
    input.addEventListener("change", async () => {
      if (input.files[0]) await take(tile, input.files[0]);
      input.value = "";
    });
    tile.querySelector("button").addEventListener("click", async () => {
      await forget(tile.dataset.side);
      await show(tile, null);
      input.focus();
    });
  }
  keeper.photos = (await Promise.all(keeper.photos.map(bringBack))).filter(Boolean);
  for (const photo of keeper.photos) await show(box.querySelector(`[data-side=${photo.side}]`), photo);
  box.dataset.kept = "";
  box.querySelector("[data-made-small]").hidden = false;
  box.querySelector("[data-made-there]")?.remove();
  box.hidden = false;
  if (keeper.photos.length) box.closest("details")?.setAttribute("open", "");
};
