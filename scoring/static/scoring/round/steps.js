// Scoring a horse a step at a time: the form of the page, one part of it in sight. Each step has
// its place in the browser's history, so that the phone's back button goes one step back; every
// answer is a value of the form and is kept at once. The page works without this, in one piece.

import { keeper } from "./keeping.js";
import { beginDanger, beginWeight } from "./parts.js";
import { begin as beginPhotos } from "./photos.js";
import { begin as beginSaving } from "./saving.js";
import { begin as beginSum } from "./summary.js";
import { told } from "./values.js";

const form = document.querySelector("[data-steps]");

const start = async () => {
  const facts = JSON.parse(form.dataset.steps);
  const words = JSON.parse(form.dataset.words);
  const parts = [...form.querySelectorAll("[data-step]")];
  const names = parts.map((part) => part.dataset.step);
  const bar = form.querySelector("[data-bar]");
  const [back, next] = [bar.querySelector("[data-back]"), bar.querySelector("[data-next]")];
  const wanting = bar.querySelector("[data-wanting]");
  const save = form.querySelector(".save .btn");
  const progress = bar.querySelector("progress");
  const prefix = facts.horse ? "" : `${location.hash.slice(1, 37)}&`;
  let now = "";

  const page = { form, facts, words, names, laid: false, step: () => now };

  const asked = () => {
    const name = new URLSearchParams(location.hash.slice(1)).get("step");
    return names.includes(name) ? name : null;
  };
  const address = (name) => `#${prefix}step=${name}`;

  // A region without an answer, in a step or anywhere.
  page.unanswered = () => parts.filter((part) =>
    part.querySelector("[data-ruler]") && !part.querySelector("[data-ruler] input:checked"))
    .map((part) => part.dataset.step);

  page.say = (text) => { wanting.textContent = text; };

  page.show = (wanted, focus = true) => {
    // Saved, it is no form any more: whichever way one comes, what it came to is shown.
    const name = "saved" in form.dataset ? names.at(-1) : wanted;
    const at = names.indexOf(name);
    if (name !== "look") page.laid = true;
    now = name;
    bar.prepend(wanting);
    page.say("");
    form.dataset.at = name;
    for (const part of parts) part.hidden = part.dataset.step !== name;
    const last = at === names.length - 1;
    back.hidden = at === 0;
    next.hidden = last;
    save.hidden = !last;
    progress.value = at + 1;
    // What comes next is in sight as soon as it has come: said to whoever only hears the button.
    next.setAttribute("aria-label", last ? "" : told(words.next, { step: words.steps[names[at + 1]] }));
    form.dispatchEvent(new CustomEvent("step", { detail: name }));
    if (!focus) return;
    parts[at].querySelector("h2").focus({ preventScroll: true });
    window.scrollTo(0, 0);
  };

  page.go = (name) => {
    if (name === now) return;
    history.pushState({ depth: (history.state?.depth ?? 0) + 1 }, "", address(name));
    page.show(name);
  };

  // Said in the ruler, over its legend: the bar keeps its height, and so the keys their place.
  page.want = (ruler) => {
    ruler.append(wanting);
    page.say(words.choose);
    ruler.querySelector("input").focus({ preventScroll: true });
    if (ruler.getBoundingClientRect().bottom > window.innerHeight) ruler.scrollIntoView({ block: "end" });
  };

  // To a control, wherever it is: a fault of the server leads to its step.
  page.lead = (control) => {
    const part = control.closest("[data-step]");
    if (part && part.dataset.step !== now) page.go(part.dataset.step);
    const fold = control.closest("details");
    if (fold) fold.open = true;
    control.focus();
    control.scrollIntoView({ block: "center" });
  };

  const forward = async () => {
    const ruler = page.unanswered().includes(now) && parts[names.indexOf(now)].querySelector("[data-ruler]");
    if (!ruler) {
      if (now === "weight" && (await page.asks())) return null;
      return page.go(names[names.indexOf(now) + 1]);
    }
    return page.want(ruler);
  };

  const backward = () => {
    if (history.state?.depth) return history.back();
    const name = names[names.indexOf(now) - 1];
    history.replaceState({ depth: 0 }, "", address(name));
    return page.show(name);
  };

  const dress = () => {
    progress.max = names.length;
    bar.append(save);
    next.querySelector("span").textContent = words.on;
    // The draft brings answers back, and knows whose they are; the browser's own memory does not.
    form.autocomplete = "off";
    parts.forEach((part, at) => {
      const title = part.querySelector("h2");
      title.tabIndex = -1;
      const place = title.querySelector("span") ?? document.createElement("span");
      // In sight the bar of progress says it.
      place.className = "vh";
      place.textContent = `${told(words.step, { n: at + 1, all: names.length })} `;
      title.prepend(place);
    });
  };

  // What stands on the bar, or on the ruler, knows how high they are in whatever size of text.
  const measure = () => {
    const rulers = [...form.querySelectorAll("[data-ruler]")];
    const watch = new ResizeObserver(() => {
      const high = Math.max(0, ...rulers.map((each) => each.offsetHeight));
      for (const [name, size] of [["bar", bar.offsetHeight], ["ruler", high]]) form.style.setProperty(`--${name}`, `${size}px`);
    });
    for (const each of [bar, ...rulers]) watch.observe(each);
  };

  const listen = () => {
    next.addEventListener("click", forward);
    back.addEventListener("click", backward);
    window.addEventListener("popstate", () => page.show(asked() ?? names[0]));
    form.addEventListener("change", () => page.say(""));
    form.addEventListener("click", (event) => {
      const link = event.target.closest("a[href^='#']");
      const control = link && document.getElementById(link.hash.slice(1));
      if (!control) return;
      event.preventDefault();
      page.lead(control);
    });
    // Enter in a field goes on; it saves only at the end.
    form.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.matches("textarea, button, a, summary")) return;
      if (now === names.at(-1)) return;
      event.preventDefault();
      forward();
    });
  };

  // A page that the browser brings back as it was left could be saved once more.
  window.addEventListener("pageshow", ({ persisted }) => { if (persisted && !page.keeper?.stopped) location.reload(); });
  // A shell holds no horse: it takes it from what this phone took along.
  page.horse = facts.horse ?? await (await import("./shell.js")).arrive(page);
  if (!page.horse) return;
  dress();
  page.keeper = await keeper(page);
  beginDanger(page);
  beginWeight(page);
  await beginPhotos(page);
  beginSum(page);
  beginSaving(page);
  listen();
  bar.hidden = false;
  measure();
  save.disabled = false;
  form.dataset.ready = "";
  const faulty = form.querySelector("[data-step] .fault[id]")?.closest("[data-step]");
  const first = faulty?.dataset.step ?? asked() ?? page.keeper.step ?? names[0];
  history.replaceState({ depth: history.state?.depth ?? 0 }, "", address(first));
  // In the middle of a form of which nothing is kept: somebody came back to what was saved.
  const isInside = first !== names[0] && !document.getElementById("faults");
  if (isInside && !page.keeper.step) await import("./shell.js").then(({ again }) => again(page)).catch(() => {});
  page.show(first, isInside);
};

if (form) start();
