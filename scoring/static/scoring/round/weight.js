// Weight: only what the chosen way asks is in sight and sent. By girth and length, what the formula
// makes is worked out here (measures.js), from the first such choice on.

export const begin = (page) => {
  const { form } = page;
  const blocks = [...form.querySelectorAll("[data-for]")];
  const pick = form.elements["weighing.formula"];
  let measures = null;

  const show = async () => {
    const way = form.querySelector("[name='weighing.method']:checked")?.value ?? "";
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
  // Whoever presses a way has the figure to type next; by keyboard the ways are walked through first.
  let pressed = false;
  form.querySelector(".ways").addEventListener("pointerdown", () => { pressed = true; });
  const lead = () => {
    if (pressed) form.querySelector("[data-for]:not([hidden]) input:enabled")?.focus();
    pressed = false;
  };
  form.addEventListener("change", (event) => {
    if (event.target.name?.startsWith("weighing.")) show();
    if (event.target.name === "weighing.method") lead();
  });
  form.addEventListener("input", (event) => {
    if (measures && event.target.name?.startsWith("weighing.measures.")) measures();
  });
  // None was made on an animal of this kind.
  if (pick.options.length < 2) {
    form.querySelector("[name='weighing.method'][value=formula]").closest("label").remove();
  }
  show();
};
