// What has changed on the board since it was drawn: asked for while it is looked at, shown when asked
// to. On a wall, where nobody is in the middle of reading, it is shown at once.

const live = document.querySelector("[data-live]");
const words = live.dataset;
const onWall = words.live === "wall";
const every = Number(words.every) * 1000;
const part = (name) => live.querySelector(`[data-live-${name}]`);
const parts = (root) => new Map([...root.querySelectorAll("[data-part]")].map((each) => [each.dataset.part, each]));
const clock = new Intl.DateTimeFormat(document.documentElement.lang || undefined, {
  hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: words.zone,
});

let tag = words.tag; // of what was told last
let lookedAt = Date.now(); // when the server last answered
let news = null; // a newer page, not shown yet
let timer = 0;

const put = (element, text) => {
  // The same again is not written: it would be read out again.
  if (element && element.textContent !== text) element.textContent = text;
};
const said = (text) => text.replace("{at}", clock.format(lookedAt));

const rows = (root) => new Map([...root.querySelectorAll("[data-horse]")].map((each) => [each.dataset.horse, each]));
const moved = (from, to) => {
  const before = rows(from);
  const after = rows(to);
  const marks = (row) => row?.dataset.mark;
  return [...new Set([...before.keys(), ...after.keys()])]
    .filter((horse) => marks(before.get(horse)) !== marks(after.get(horse)));
};

// Where somebody is: a link of a row, told by the horse and which of the row's links it is.
const standing = () => {
  const active = document.activeElement;
  const row = active?.closest("[data-part] [data-horse]");
  if (row) return { horse: row.dataset.horse, place: [...row.querySelectorAll("a, button")].indexOf(active) };
  return active?.closest("[data-part]") && active.href ? { href: active.href } : null;
};
const stand = (at) => {
  if (!at) return;
  const row = at.horse && rows(document).get(at.horse);
  const links = row ? [...row.querySelectorAll("a, button")] : [...document.querySelectorAll("[data-part] a")];
  const again = row ? (links[at.place] ?? links[0]) : links.find((each) => each.href === at.href);
  again?.focus({ preventScroll: true });
};

const draw = (page) => {
  const at = standing();
  const given = parts(page);
  const fresh = moved(document, page);
  for (const [name, old] of parts(document)) {
    const made = given.get(name);
    if (made) old.replaceWith(document.importNode(made, true));
  }
  stand(at);
  return fresh;
};

const marked = (horses) => {
  const here = rows(document);
  for (const horse of horses) {
    const row = here.get(horse);
    if (!row) continue;
    row.classList.add("fresh");
    const tell = document.createElement("span");
    tell.className = "tag note";
    tell.textContent = words.fresh;
    row.querySelector("th")?.append(tell);
  }
  return horses.map((horse) => here.get(horse)).find(Boolean);
};

const tell = (page) => {
  news = page;
  const n = moved(document, page).length;
  const text = n === 1 ? words.one : n ? words.many.replace("{n}", String(n)) : words.elsewhere;
  put(part("news"), text);
  part("show").hidden = false;
};

const take = async (answer) => {
  if (answer.status === 304) return;
  const text = await answer.text();
  const page = new DOMParser().parseFromString(text, "text/html");
  if (!page.querySelector("[data-part=rows]")) throw new Error("no board");
  tag = answer.headers.get("ETag") ?? "";
  if (onWall) draw(page);
  else tell(page);
};

// Nobody may see this any more: what stands here goes, and why is said.
const shut = (text) => {
  for (const each of parts(document).values()) each.replaceChildren();
  part("show")?.setAttribute("hidden", "");
  put(part("news"), "");
  return text;
};
const why = async (answer) => {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  return page.querySelector("[data-detail]")?.textContent || words.out;
};

const ask = async () => {
  let fault = words.fault;
  try {
    const answer = await fetch(location.href, {
      headers: { "If-None-Match": tag }, cache: "no-store", redirect: "manual",
      signal: AbortSignal.timeout(20_000),
    });
    if (answer.type === "opaqueredirect") fault = shut(words.out);
    else if (answer.status === 403) fault = shut(await why(answer));
    else if (answer.status === 304 || answer.ok) {
      await take(answer);
      lookedAt = Date.now();
      fault = "";
    }
  } catch {
    // Said below: whatever went wrong, what stands here was not refreshed.
  }
  live.classList.toggle("old", fault !== "");
  put(part("fault"), fault && said(fault));
  put(part("at"), fault ? "" : said(words.looked));
};

const plan = () => {
  clearTimeout(timer);
  if (document.hidden) return;
  timer = setTimeout(async () => {
    await ask();
    plan();
  }, Math.max(0, every - (Date.now() - lookedAt)) || every);
};

part("show")?.addEventListener("click", () => {
  const fresh = draw(news);
  news = null;
  const first = marked(fresh);
  put(part("news"), "");
  part("show").hidden = true;
  // The button is gone: go on from what it was pressed for.
  const goTo = first?.querySelector("a") ?? document.getElementById("main");
  goTo.focus({ preventScroll: !first });
});
document.addEventListener("visibilitychange", async () => {
  clearTimeout(timer);
  if (document.hidden) return;
  if (Date.now() - lookedAt >= every) await ask();
  plan();
});
plan();
