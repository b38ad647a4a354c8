// What this phone keeps, through the modules that keep it. A browser that lets nothing be kept
// (private windows, full storage) still scores; it just brings nothing back.

const opened = async (asked) => {
  try { return await asked; } catch { return null; }
};

export const phone = {
  drafts: () => opened(import("./drafts.js")),
  // Whose turn it is, for keys: a person in an organisation.
  whose: () => opened(import("./who.js").then((made) => made.current()))
    .then((who) => (who ? `${who.organisation}:${who.person}` : "")),
  queue: () => opened(import("./queue.js")),
  store: () => opened(import("./store.js").then((made) => made.open())),
};
