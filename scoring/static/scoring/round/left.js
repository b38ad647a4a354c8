// What was saved last of a horse in this tab, by the key of its draft: for whoever comes back to the
// form by the browser's own button. `to`: whether it went to the server or into this phone's queue.

export const leave = (key, values, to) => {
  try { sessionStorage.setItem(key, JSON.stringify({ values, to })); } catch { /* kept nowhere */ }
};

export const found = (key) => {
  try { return JSON.parse(sessionStorage.getItem(key)); } catch { return null; }
};
