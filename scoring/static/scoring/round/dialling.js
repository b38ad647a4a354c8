// The vet's lines of a yard as links to dial, from what the phone took along.

import { told } from "./values.js";

export const links = (vet, words, mould) => {
  const phone = told(words.phone, { practice: vet.practice || words.the_vet });
  const lines = [
    [vet.phone, phone, words.day_line],
    [vet.out_of_hours_phone, phone, words.night_line],
    [vet.second_phone, words.second, words.second_when],
  ];
  return lines.filter(([number]) => number).map(([number, what, when]) => {
    const link = mould.content.cloneNode(true).firstElementChild;
    const plus = number.trim().startsWith("+") ? "+" : "";
    link.href = `tel:${plus}${number.replace(/[^\d*#]/g, "")}`;
    link.querySelector("span").firstChild.textContent = what;
    link.querySelector("small").textContent = when;
    link.querySelector("b").textContent = number;
    return link;
  });
};
