// Scoring with keys: arrows move half a point (the browser's own), 0 to 9 jump, "." or "h" adds
// the half, Home and End go to the ends, "n" is not safe to palpate. The page works without this.
"use strict";
(() => {
  const form = document.querySelector("[data-score]");
  if (!form) return;

  const scored = (ruler) => [...ruler.querySelectorAll(".keys input")];
  const chosen = (ruler) => ruler.querySelector("input:checked");

  const say = (ruler) => {
    const out = ruler.querySelector(".said");
    if (!out) return;
    const radio = chosen(ruler);
    if (!radio) {
      out.textContent = "";
    } else if (radio.value === "not_safe") {
      out.textContent = out.dataset.unsafe;
    } else {
      const mark = document.createElement("b");
      mark.textContent = radio.nextElementSibling.textContent;
      out.replaceChildren(out.dataset.score + " ", mark);
    }
  };

  const jump = (ruler, key) => {
    const keys = scored(ruler);
    const at = keys.indexOf(chosen(ruler));
    if (key === "Home") return keys[0];
    if (key === "End") return keys[keys.length - 1];
    if (key === "n") return ruler.querySelector("input[value=not_safe]");
    if (key === "." || key === "h") return at >= 0 && at % 2 === 0 ? keys[at + 1] : null;
    if (/^[0-9]$/.test(key)) return keys.find((radio) => Number(radio.value) === Number(key));
    return null;
  };

  // A second tap, Space or Backspace takes back what was chosen by mistake; a score is moved by another.
  const takeBack = (radio) => {
    let was = false;
    const clear = () => {
      was = radio.checked = false;
      radio.dispatchEvent(new Event("change", { bubbles: true }));
    };
    radio.closest("label").addEventListener("pointerdown", () => { was = radio.checked; });
    radio.addEventListener("click", () => { if (was) clear(); });
    radio.addEventListener("keydown", (event) => {
      // Held down, Space would choose again what it has just cleared.
      if (![" ", "Backspace"].includes(event.key) || !(radio.checked || event.repeat)) return;
      event.preventDefault();
      if (radio.checked) clear();
    });
  };
  const back = "[value=not_safe],[name^=findings],[name=fat_pocket],[name=appetite]";
  for (const radio of form.querySelectorAll(back)) takeBack(radio);

  for (const ruler of form.querySelectorAll("[data-ruler]")) {
    say(ruler);
    ruler.addEventListener("change", () => say(ruler));
    ruler.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const radio = jump(ruler, event.key);
      if (!radio) return;
      event.preventDefault();
      radio.checked = true;
      radio.focus();
      radio.dispatchEvent(new Event("change", { bubbles: true }));
    });
  }

  // "Looked, none seen" and a sign seen contradict each other: the later tick stands.
  const none = form.querySelector("#looked_for_danger");
  const signs = [...form.querySelectorAll("input[name=danger_signs]")];
  none?.addEventListener("change", () => {
    if (none.checked) for (const sign of signs) sign.checked = false;
  });
  for (const sign of signs) {
    sign.addEventListener("change", () => {
      if (sign.checked && none) none.checked = false;
    });
  }

  // A second press while the first is on its way sends nothing; the id would make it a replay.
  let sent = false;
  form.addEventListener("submit", (event) => {
    if (sent) event.preventDefault();
    sent = true;
  });
  window.addEventListener("pageshow", () => { sent = false; });

  document.getElementById("faults")?.focus();
})();
