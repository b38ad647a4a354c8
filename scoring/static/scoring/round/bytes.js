// Bytes of photos on this phone. They are kept as bytes, since a private window refuses blobs.

import * as store from "./store.js";

export const row = async (id, blob) => ({ id, type: blob.type, bytes: await blob.arrayBuffer() });

export const take = async (id) => {
  const found = await store.get("photos", id);
  return found ? new Blob([found.bytes], { type: found.type }) : null;
};
