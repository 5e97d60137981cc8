// Keeps the manual on the phone at the first visit, and says when that is done. Every page reads without it.
(() => {
  "use strict";
  const line = document.querySelector(".saved");
  if (!line || !("serviceWorker" in navigator) || !location.protocol.startsWith("http")) return;
  const say = which => {
    line.hidden = false;
    for (const part of line.children) part.hidden = !part.classList.contains(which);
  };
  const home = new URL(line.dataset.home, location.href);
  const had = navigator.serviceWorker.controller;
  navigator.serviceWorker.addEventListener("controllerchange", () => { if (had) say("newer"); });
  line.querySelector("button").addEventListener("click", () => location.reload());

  // After the page itself is there: on a slow line nothing may stand before it.
  const keep = () => navigator.serviceWorker.register(new URL("sw.js", home), { scope: home.href }).then(found => {
    if (found.active) say("kept");
    const follow = worker => worker && worker.addEventListener("statechange", () => {
      if (worker.state === "activated" && !had) say("kept");
    });
    follow(found.installing || found.waiting);
    found.addEventListener("updatefound", () => follow(found.installing));
  }).catch(() => { /* a host without it, or a private window: the page reads as before */ });
  if (document.readyState === "complete") keep(); else addEventListener("load", keep);
})();
