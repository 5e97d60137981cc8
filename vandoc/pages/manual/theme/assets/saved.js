// Saves the manual on the phone and shows how much of it is saved. Pages are complete without it.
(() => {
  "use strict";
  const above = document.querySelector(".copy");
  const below = document.querySelector(".saved");
  const offers = navigator.serviceWorker;
  if (!above || !below || !offers || !location.protocol.startsWith("http")) return;
  const RETRY_MS = 15_000, TAKE_MS = 5_000, REOPEN_MS = 12_000, REOPENED_AT_MOST = 4, SLACK_MS = 2_000; // two clocks
  const home = new URL(document.body.dataset.home, location.href);
  const had = offers.controller;
  let registration, opened = true, fresh = true, taking = false, watched = false, share = 0;

  const show = (line, which) => {
    line.hidden = !which;
    for (const part of line.children) {
      part.hidden = part.className !== which;
      for (const gap of part.querySelectorAll(".share")) gap.textContent = share;
    }
  };
  const percent = (missing, all) => all ? Math.floor(100 * (1 - missing / all)) : 100;

  offers.addEventListener("message", ({ data, source }) => {
    // A newer version is not mentioned until it is complete.
    if (!data?.kept || !registration || registration.active && source !== registration.active) return;
    const { owner, ownerMissing, rest, restMissing, trouble, since } = data.kept;
    const outdated = registration.active && since > performance.timeOrigin - SLACK_MS;
    if (outdated && fresh) reopen(data.version);
    fresh &&= !registration.active;
    const saved = registration.active && !ownerMissing;
    const which = !saved ? (trouble ? "cut" : "saving") : restMissing ? "part" : "whole";
    share = saved ? percent(restMissing, rest) : percent(ownerMissing, owner);
    watched ||= !saved;
    if (watched) show(above, which);
    show(below, saved ? which : "");
    if (trouble) setTimeout(saved ? goOn : keep, RETRY_MS);
  });
  const goOn = () => registration.active?.postMessage("go on");

  // The newer version may have taken over while this page was on its way from the older one.
  const reopen = version => {
    if (sessionStorage.getItem("followed") === version) return;
    sessionStorage.setItem("followed", version);
    location.reload();
  };

  // A page that was just opened switches to a newer version; a page in use offers it.
  // A busy browser may keep the old worker for as long as this page is open; then the page is opened a few times more.
  const take = asked => {
    if (!registration.waiting) return;
    const [times, last] = (sessionStorage.getItem("reopened") ?? "0 0").split(" ").map(Number);
    if (asked && times < REOPENED_AT_MOST && Date.now() - last > REOPEN_MS) {
      sessionStorage.setItem("reopened", `${times + 1} ${Date.now()}`);
      location.reload();
      return;
    }
    taking = true;
    registration.waiting.postMessage("take over");
    setTimeout(take, TAKE_MS, true);
  };
  const change = () => { if (opened && had) take(); else show(above, "newer"); };
  offers.addEventListener("controllerchange", () => {
    if (taking || (opened || fresh) && had) location.reload(); else if (had) show(above, "newer"); else goOn();
  });
  above.querySelector("button").addEventListener("click", () => {
    if (registration.waiting) take(); else location.reload();
  });

  const follow = worker => worker?.addEventListener("statechange", () => {
    if (worker.state === "installed" && had) change();
    if (worker.state === "redundant" && !registration.active) { show(above, "cut"); setTimeout(keep, RETRY_MS); }
  });
  const keep = () => offers.register(new URL("sw.js", home), { scope: home.href }).then(found => {
    if (found !== registration) {
      registration = found;
      follow(found.installing);
      found.addEventListener("updatefound", () => follow(found.installing));
    }
    if (!found.active && found.installing) { watched = true; show(above, "saving"); }
    if (found.waiting) change();
    goOn();
    opened = false;
  }).catch(() => { /* a host without a worker, or a private window: the page works as before */ });
  // Only after the page itself has loaded, so that it is not delayed on a slow connection.
  if (document.readyState === "complete") keep(); else addEventListener("load", keep);
  addEventListener("online", keep);
})();
