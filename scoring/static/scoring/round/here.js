// On every page: who works here, what waits, and sending it when there is a chance of it.

import { listen } from "./channel.js";
import * as said from "./said.js";
import { isPast } from "./states.js";
import * as store from "./store.js";
import * as who from "./who.js";

const root = document.documentElement;
const quietly = (work) => work.catch((error) => {
  // Pages that keep things say at once that nothing can be kept; others have no need to.
  if ("shell" in root.dataset && error?.why) said.trouble(error.why);
});

// What sends is fetched only where something waits: most pages have nothing to send.
const flush = async ({ now = false } = {}) => {
  const { saved, sending, needs_you } = await said.counts();
  if (!saved && !sending && !needs_you) return false;
  const send = await import("./send.js");
  await (now ? send.flushNow() : send.flush());
  return true;
};

// As a module where the browser can, so that it sends in the background too; else it only serves.
// What it imports has names of its content: asking for that again with each page would only cost.
const install = async () => {
  const workers = navigator.serviceWorker;
  if (!workers) return;
  const options = { scope: "/", updateViaCache: "imports" };
  try {
    await workers.register("/sw.js", { ...options, type: "module" });
  } catch {
    await workers.register("/sw.js?plain", options).catch(() => {});
  }
};

const begin = async () => {
  await store.open();
  await who.remember();
  await said.begin();
  if (await flush()) return;
  if ((await store.all("queue")).some(isPast)) await (await import("./send.js")).settle();
};

// Signing out takes what the server holds off the phone: not before it is known that the server can
// be asked to, since a round could not be taken along again.
const leave = async (form) => {
  const alive = await import("./alive.js").catch(() => null);
  if (!(await alive?.answer())) {
    document.getElementById("places")?.hidePopover?.();
    said.trouble("stay");
    return;
  }
  form.dataset.forgotten = "";
  await who.forget().catch(() => {});
  form.requestSubmit();
};

for (const form of document.querySelectorAll("form[action*='/accounts/logout/']")) {
  form.addEventListener("submit", (event) => {
    if ("forgotten" in form.dataset) return;
    event.preventDefault();
    leave(form);
  });
}

listen(({ type, added }) => {
  if (type === "queue" && added) quietly(flush());
});
window.addEventListener("online", () => quietly(flush({ now: true })));
window.addEventListener("pageshow", (event) => { if (event.persisted) quietly(flush({ now: true })); });
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) quietly(flush({ now: true }));
});

quietly(begin());
if (who.named() || "shell" in root.dataset) {
  // After the page: what is kept for later must not hold up what is asked for now.
  if (document.readyState === "complete") install();
  else window.addEventListener("load", install, { once: true });
}
