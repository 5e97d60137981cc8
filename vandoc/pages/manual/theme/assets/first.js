// Runs before the page is drawn: marks that scripts work, and sets the colours that the reader chose.
"use strict";
document.documentElement.className = "js";
try {
  const scheme = localStorage.getItem("scheme");
  if (scheme) document.documentElement.dataset.scheme = scheme;
} catch { /* a private window stores nothing */ }
