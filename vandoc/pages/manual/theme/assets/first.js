// Before the page is drawn: scripts run here, and the colours are those that the reader chose.
"use strict";
document.documentElement.className = "js";
try {
  const scheme = localStorage.getItem("scheme");
  if (scheme) document.documentElement.dataset.scheme = scheme;
} catch { /* a private window keeps nothing */ }
