// Shows a note if the QR code that led here has another revision than this manual. Pages are complete without it.
(() => {
  "use strict";
  const note = document.querySelector(".revision-note");
  const own = /^(\d{1,3})-([0-9a-f]{6})$/.exec(note?.dataset.revision ?? "");
  const code = /^(\d{1,3})-([0-9a-f]{6})$/.exec(new URLSearchParams(location.search).get("r") ?? "");
  if (!own || !code || own[0] === code[0]) return;
  const which = Number(code[1]) > Number(own[1]) ? "newer" : Number(code[1]) < Number(own[1]) ? "older" : "other";
  note.hidden = false;
  for (const part of note.children) part.hidden = !part.classList.contains(`code-${which}`);
  for (const line of note.querySelectorAll(".since")) line.hidden = line.dataset.code !== code[0];
  for (const gap of note.querySelectorAll(".asked")) gap.textContent = code[0];
})();
