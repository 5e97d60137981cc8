// Filters a list by the words typed: each must be the beginning of a word in the row. If no row matches, synonyms
// count too. Without this script the list is complete.
(() => {
  "use strict";
  const form = document.querySelector("form.find");
  const field = form.querySelector("input");
  const count = form.querySelector(".count");
  const plain = text => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const split = text => plain(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  const rows = [...document.querySelectorAll("li[data-words]")].map(row =>
    ({ row, shown: split(row.textContent), all: split(`${row.dataset.words} ${row.textContent}`) }));
  const narrow = () => {
    const typed = split(field.value);
    const begins = words => typed.every(part => words.some(word => word.startsWith(part)));
    const shown = rows.filter(one => begins(one.shown));
    const found = shown.length ? shown : rows.filter(one => begins(one.all));
    const none = typed.length > 0 && !found.length;
    for (const one of rows) one.row.hidden = !none && !found.includes(one);
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
