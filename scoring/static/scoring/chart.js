// Pan and zoom of a horse's drawing, over what the page does without any script: its windows are
// links, and a drag, an arrow or a plus only follows them, drawing the answer in place.

const DRAG = 24; // pixels before a drag is one, and no tap
const part = () => document.querySelector("[data-chart]");
const links = () => [...part().querySelectorAll("a[data-window]")];
const named = (name) => links().find((link) => link.dataset.window === name);

let turn = 0; // only the last asked for is shown

async function show(address, { push = true } = {}) {
  const mine = ++turn;
  const section = part();
  section.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(address, { headers: { Accept: "text/html" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.querySelector("[data-chart]");
    if (mine !== turn) return;
    if (!answer.ok || !next) throw new Error(String(answer.status));
    const held = focused(section);
    section.replaceWith(document.adoptNode(next));
    // What became of it stands further up, and is of the same days.
    const became = page.querySelector("[data-really]");
    if (became) document.querySelector("[data-really]")?.replaceWith(document.adoptNode(became));
    if (held) refocus(held);
    told();
    if (push) history.pushState({ chart: true }, "", address);
  } catch {
    // Whatever it was, the plain link says it better.
    location.assign(address);
  }
}

/** What had the focus, so that it has it again in the part that came. */
function focused(section) {
  const at = document.activeElement;
  if (!section.contains(at)) return null;
  return at.dataset.window || at.textContent.trim() || null;
}

function refocus(held) {
  const again = links().find(
    (link) => link.dataset.window === held || link.textContent.trim() === held,
  );
  (again ?? links().find((link) => link.ariaCurrent) ?? links()[0])?.focus();
}

/** Say what is drawn now, to who does not see it. */
function told() {
  const title = part().querySelector("svg.ch title");
  document.querySelector("[data-chart-said]").textContent = title?.textContent ?? "";
}

function step(way) {
  const shown = links().filter((link) => !link.dataset.window);
  const place = shown.findIndex((link) => link.getAttribute("aria-current"));
  return shown[place + way];
}

const KEYS = {
  ArrowLeft: () => named("earlier"),
  ArrowRight: () => named("later"),
  "+": () => step(-1),
  "-": () => step(1),
};

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("[data-chart] a[data-window]");
  if (!link || event.metaKey || event.ctrlKey || event.shiftKey || event.button) return;
  event.preventDefault();
  show(link.href);
});

// Keys only where one of the windows has the focus: nowhere else is a letter taken.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (!event.target.closest?.("[data-chart] a[data-window]")) return;
  const link = KEYS[event.key]?.();
  if (!link) return;
  event.preventDefault();
  show(link.href);
});

let drag = null;

document.addEventListener("pointerdown", (event) => {
  const drawing = event.target.closest?.("[data-chart] svg.ch[data-first]");
  if (drawing && !event.button) drag = { x: event.clientX, id: event.pointerId };
});

document.addEventListener("pointermove", (event) => {
  if (drag && event.pointerId === drag.id) {
    part().classList.toggle("panning", Math.abs(event.clientX - drag.x) > DRAG);
  }
});

for (const name of ["pointerup", "pointercancel"]) {
  document.addEventListener(name, (event) => {
    if (!drag || event.pointerId !== drag.id) return;
    const moved = event.clientX - drag.x;
    drag = null;
    part().classList.remove("panning");
    if (name === "pointercancel" || Math.abs(moved) <= DRAG) return;
    const link = named(moved > 0 ? "earlier" : "later");
    if (link) show(link.href);
  });
}

addEventListener("popstate", () => show(location.href, { push: false }));
