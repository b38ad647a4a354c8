// Ids made on the phone, so that a thing has its name before any server has heard of it: a replay
// after a lost answer is then known for one. UUID version 7 (RFC 9562, section 5.7).

export const uuid7 = (now = Date.now()) => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  new DataView(bytes.buffer).setUint32(0, Math.floor(now / 65536));
  new DataView(bytes.buffer).setUint16(4, now % 65536);
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = [...bytes].map((each) => each.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
};

// SHA-256 of bytes in lower-case hex, as the server works it out too.
export const sha256 = async (bytes) => {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((each) => each.toString(16).padStart(2, "0")).join("");
};
