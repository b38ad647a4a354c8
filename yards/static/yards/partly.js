// A day or a number that is typed in part is sent as nothing, and lost. So nothing is sent yet: the
// browser says at the field what it lacks, and what was typed stays.
for (const form of document.querySelectorAll('form[method="post"]')) {
  form.addEventListener('submit', (event) => {
    const partly = [...form.elements].find((each) => each.validity?.badInput);
    if (!partly) return;
    event.preventDefault();
    partly.reportValidity();
  });
}
