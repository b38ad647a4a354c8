// Help: the way back to where it was asked for, and the numbers that a phone took along.

const way = document.querySelector("[data-return]");
const beside = document.querySelector("[data-beside]");
const shut = document.querySelector("[data-shut]");

// Back in the browser's own history finds the page as it was left: its place, and what is typed.
const came = document.referrer && new URL(document.referrer);
const isOurs = came && came.origin === location.origin && !came.pathname.startsWith("/help/");
if (isOurs && history.length > 1) {
  way.href = came.href;
  way.hidden = false;
  const first = history.length;
  way.addEventListener("click", (event) => {
    event.preventDefault();
    // Past the places of this page that were jumped to since.
    history.go(first - history.length - 1);
  });
}

// A page that was opened beside a form may close itself as long as it is the first of its tab; what
// a phone keeps does not know how it was opened.
const isBeside = new URLSearchParams(location.search).has("beside");
beside.hidden = !isBeside;
if (isBeside && history.length === 1) {
  shut.hidden = false;
  shut.addEventListener("click", () => window.close());
}

const numbers = document.querySelector("[data-numbers]");
if (numbers) {
  const [{ links }, { taken }] = await Promise.all([import("./round/dialling.js"), import("./round/take.js")]);
  const words = JSON.parse(numbers.dataset.words);
  const mould = document.querySelector("[data-dial]");
  for (const round of await taken().catch(() => [])) {
    const [name, dials] = [document.createElement("h3"), document.createElement("div")];
    name.dir = "auto";
    name.textContent = round.yard.name;
    dials.className = "dials";
    dials.append(...links(round.vet, words, mould));
    numbers.append(name, dials);
    numbers.querySelector("[data-none]").hidden = true;
  }
}
