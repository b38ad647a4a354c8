// A picture made small on this phone. Drawn anew on a canvas it keeps no place, time or make: what
// a camera writes beside the picture is left behind.

import { sha256, uuid7 } from "./ids.js";

const LONGEST = 1600;
const QUALITY = 0.8;

// A canvas with the picture, upright, at most so long; raises where the file is no picture.
export const drawn = async (file, longest) => {
  const picture = await createImageBitmap(file);
  const share = Math.min(1, longest / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * share));
  canvas.height = Math.max(1, Math.round(picture.height * share));
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas;
};

// The picture as it is kept and sent, with the hash of its bytes, its side and when.
export const made = async (file, side) => {
  const canvas = await drawn(file, LONGEST);
  const blob = await new Promise((resolve) => { canvas.toBlob(resolve, "image/jpeg", QUALITY); });
  if (!blob) throw new Error("no picture was made");
  const hash = await sha256(await blob.arrayBuffer());
  return { id: uuid7(), blob, sha256: hash, side, taken_at: new Date().toISOString() };
};
