// What a form holds, as texts by name, and a form filled with such again: a draft is plain values.
const NOT_OURS = "csrfmiddlewaretoken";

export const read = (form) => {
  const found = {};
  for (const [name, value] of new FormData(form)) {
    if (typeof value !== "string" || name === NOT_OURS) continue;
    found[name] = name in found ? [].concat(found[name], value) : value;
  }
  return found;
};

export const fill = (form, values) => {
  for (const control of form.elements) {
    const { name, type } = control;
    if (!name || name === NOT_OURS || type === "file") continue;
    const kept = [].concat(values[name] ?? []);
    if (type === "radio" || type === "checkbox") control.checked = kept.includes(control.value);
    else if (name in values) control.value = kept[0];
  }
};

// A sentence with its {names} filled in.
export const told = (text, params = {}) => text.replace(/\{(\w+)\}/g, (_, name) => params[name] ?? "");

// A moment by this phone's clock, in the page's language.
export const moment = (at) => new Intl.DateTimeFormat(document.documentElement.lang || undefined,
  { dateStyle: "medium", timeStyle: "short" }).format(new Date(at));

export const clock = (at) => new Intl.DateTimeFormat(document.documentElement.lang || undefined, { timeStyle: "short" }).format(new Date(at));

export const isToday = (at) => Boolean(at) && new Date(at).toDateString() === new Date().toDateString();

// Half points as people write them: 3½, ½, 0.
export const written = (halves) => {
  const whole = Math.floor(halves / 2);
  const half = halves % 2 ? "½" : "";
  return `${whole || !half ? whole : ""}${half}`;
};
