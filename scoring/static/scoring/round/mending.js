// Puts right what the server named: one control for each field that it refused, holding what was
// entered. What cannot be typed, a list or an answer of several parts, is said and left alone.

import { taken } from "./take.js";

const steps = (field) => field.split(".").filter(Boolean);

export const valueAt = (body, field) =>
  steps(field).reduce((held, name) => held?.[name], body);

// A body with one value changed; an emptied one is left out, which stands for not answered.
export const changed = (body, field, value) => {
  const made = structuredClone(body);
  const names = steps(field);
  const last = names.pop();
  let held = made;
  for (const name of names) held = held[name] ??= {};
  if (value === "") delete held[last];
  else held[last] = value;
  return made;
};

const local = (at) => {
  const moment = new Date(at);
  if (Number.isNaN(moment.getTime())) return "";
  return new Date(moment.getTime() - moment.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
};

const option = (value, label, chosen) => {
  const made = document.createElement("option");
  [made.value, made.textContent, made.selected] = [value, label, value === chosen];
  return made;
};

const select = (options) => {
  const made = document.createElement("select");
  made.append(...options);
  return made;
};

const input = (type, value) => {
  const made = document.createElement("input");
  [made.type, made.value] = [type, value];
  return made;
};

const control = async (field, value, words) => {
  if (typeof value === "object" && value !== null) return null;
  if (field === "horse") {
    const horses = (await taken()).flatMap((round) => round.horses);
    return select([option(value, words.no_horse, value),
      ...horses.filter((each) => each.id !== value).map((each) => option(each.id, each.name))]);
  }
  if (field.endsWith("_at")) return input("datetime-local", value ? local(value) : "");
  return input("text", value === undefined || value === null ? "" : String(value));
};

const stored = (field, made, before) => {
  if (field.endsWith("_at")) return made.value ? new Date(made.value).toISOString() : "";
  return typeof before === "boolean" ? made.value === "true" : made.value;
};

// What is said of an item whose body was changed: another animal has another name.
export const about = async (item, body) => {
  if (!body.horse || body.horse === item.body.horse) return item.about;
  for (const { yard, horses } of await taken()) {
    const found = horses.find(({ id }) => id === body.horse);
    if (found) return { ...item.about, horse: found.id, name: found.name, yard: yard.id };
  }
  return item.about;
};

// Fill a form with a control for each fault; returns how to read the body that it now stands for,
// or null when there is nothing in it to change.
export const begin = async (form, item, mould, words) => {
  const controls = [];
  for (const { field, message } of item.why?.errors ?? []) {
    const before = valueAt(item.body, field);
    const made = field && !["id", "sent_at"].includes(field) ? await control(field, before, words) : null;
    const block = mould.content.firstElementChild.cloneNode(true);
    const [label, fault] = [block.querySelector("label"), block.querySelector(".fault")];
    label.textContent = words.fields[field] ?? field;
    fault.textContent = message;
    if (made) {
      made.className = "in";
      made.id = label.htmlFor = `${item.id}-${field}`;
      fault.id = `${made.id}-fault`;
      made.setAttribute("aria-invalid", "true");
      made.setAttribute("aria-describedby", fault.id);
      block.append(made);
      controls.push({ field, made, before, at_first: made.value });
    } else if (!field) label.remove();
    form.append(block);
  }
  if (!controls.length) return null;
  return () => controls
    .filter(({ made, at_first }) => made.value !== at_first)
    .reduce((body, { field, made, before }) => changed(body, field, stored(field, made, before)), item.body);
};
