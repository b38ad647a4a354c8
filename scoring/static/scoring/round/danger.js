// Danger signs, one tap away at every step: the one list of the form, lifted into a sheet and put
// back. It opens without a connection, advice and numbers are in the page.

export const begin = (page) => {
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
