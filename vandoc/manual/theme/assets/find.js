// Narrows the list to what is typed: every word must begin some word of a row. Without it the list is whole.
(() => {
  "use strict";
  const form = document.querySelector("form.find");
  const field = form.querySelector("input");
  const count = form.querySelector(".count");
  const plain = text => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const split = text => plain(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  const rows = [...document.querySelectorAll("li[data-words]")].map(row =>
    ({ row, words: split(`${row.dataset.words} ${row.textContent}`) }));
  const narrow = () => {
    const typed = split(field.value);
    const fits = ({ words }) => typed.every(part => words.some(word => word.startsWith(part)));
    const found = rows.filter(fits);
    const none = typed.length > 0 && !found.length;
    for (const one of rows) one.row.hidden = !none && !fits(one);
    count.textContent = !typed.length ? "" : none ? count.dataset.none
      : found.length === 1 ? count.dataset.one : count.dataset.many.replace("#", found.length);
    return found;
  };
  field.addEventListener("input", narrow);
  form.addEventListener("submit", event => {
    event.preventDefault();
    const [first] = narrow();
    if (field.value.trim() && first) first.row.querySelector("a").click();
  });
  if (field.value) narrow();
})();
