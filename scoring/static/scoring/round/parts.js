// What two of the steps do: danger signs and weight. In one file, since each costs signal.

// Danger signs, one tap away at every step: the one list of the form, lifted into a sheet and put
// back. It opens without a connection, advice and numbers are in the page.
export const beginDanger = (page) => {
  const { form } = page;
  const signs = form.querySelector("#danger");
  const sheet = form.querySelector("[data-signs]");
  const stop = signs.querySelector("[data-stop]");
  // In the sheet the numbers to ring come first: who opens it has seen something.
  const dials = signs.querySelector("[data-of=vet]");
  const place = document.createComment("");
  let opener = null;

  const open = (event) => {
    event.preventDefault();
    if (sheet.open) return;
    opener = event.currentTarget;
    signs.replaceWith(place);
    sheet.querySelector("h2").after(signs);
    signs.querySelector("ul").before(dials);
    sheet.showModal();
    signs.focus();
    sheet.scrollTop = 0;
  };
  for (const link of document.querySelectorAll("[data-danger]")) link.addEventListener("click", open);

  sheet.addEventListener("close", () => {
    signs.querySelector("ul").after(dials);
    place.replaceWith(signs);
    opener?.focus();
  });
  sheet.querySelector("[data-close]").addEventListener("click", () => sheet.close());

  const seen = () => Boolean(signs.querySelector("[name=danger_signs]:checked"));
  const show = () => { stop.hidden = !seen(); };
  signs.addEventListener("change", show);
  form.addEventListener("step", show);

  // Scoring ends here: what has no score is not safe to palpate, which is a full answer.
  stop.addEventListener("click", () => {
    sheet.close();
    for (const ruler of form.querySelectorAll("[data-ruler]")) {
      if (!ruler.querySelector("input:checked")) ruler.querySelector("[value=not_safe]").click();
    }
    page.go(page.names.at(-1));
  });

  const [eye, kept] = [form.querySelector("[data-eye]"), form.querySelector("[data-eye-kept]")];
  form.addEventListener("step", () => {
    eye.hidden = page.laid;
    kept.hidden = !page.laid || !form.elements.by_eye.value;
  });
};

// Weight: only what the chosen way asks is in sight and sent. By girth and length, what the formula
// makes is worked out here (measures.js), from the first such choice on.
export const beginWeight = (page) => {
  const { form } = page;
  const blocks = [...form.querySelectorAll("[data-for]")];
  const pick = form.elements["weighing.formula"];
  let [measures, far] = [null, null];
  const chosen = () => form.querySelector("[name='weighing.method']:checked")?.value ?? "";

  // Whether a weight is far from the last is for when every region has its answer: it would sway the hand.
  const asker = () => {
    if (!chosen() || page.unanswered().length) return null;
    far ??= import("./far.js").then((it) => it.begin(page)).catch(() => { far = null; });
    return far;
  };
  page.asks = async () => Boolean(await (await asker())?.asks());
  page.far = async () => (await asker())?.row();

  const show = async () => {
    const way = chosen();
    asker();
    for (const block of blocks) block.hidden = !block.dataset.for.split(" ").includes(way);
    for (const control of form.querySelectorAll("[data-for] :is(input, select)")) {
      control.disabled = Boolean(control.closest("[data-for][hidden]"));
    }
    if (way !== "formula") return;
    try {
      measures ??= await (await import("./measures.js")).ready(page);
      measures();
    } catch {
      // No data and no connection: the server works it out once it is saved.
      measures = null;
    }
  };
  // Whoever presses a way or Somebody has something to type next; by keyboard they are walked through first.
  let pressed = false;
  form.addEventListener("pointerdown", ({ target }) => { pressed = target.closest(".ways, .who"); });
  const lead = (to) => {
    if (pressed) to?.focus();
    pressed = false;
  };
  form.addEventListener("change", ({ target }) => {
    if (target.name?.startsWith("weighing.")) show();
    if (target.name === "weighing.method") lead(form.querySelector("[data-for]:not([hidden]) input:enabled"));
  });
  form.addEventListener("input", (event) => {
    if (measures && event.target.name?.startsWith("weighing.measures.")) measures();
  });
  // Who held is asked by name once somebody did, and stays in sight for as long as it is given.
  const who = form.elements.held_by;
  const ask = () => { who.closest(".field").hidden = form.elements.held.value !== "somebody" && !who.value; };
  for (const told of ["change", "step"]) form.addEventListener(told, ask);
  form.addEventListener("change", ({ target }) => { if (target.value === "somebody") lead(who); });
  // None was made on an animal of this kind.
  if (pick.options.length < 2) {
    form.querySelector("[name='weighing.method'][value=formula]").closest("label").remove();
  }
  show();
};
