// Day and night colours, search, and hints on frames that scroll. Pages are complete without this script.
(() => {
  "use strict";
  const root = document.documentElement;

  const button = document.querySelector(".masthead #scheme");
  const night = () => root.dataset.scheme
    ? root.dataset.scheme === "night" : matchMedia("(prefers-color-scheme: dark)").matches;
  const tell = () => button.setAttribute("aria-pressed", night());
  button.addEventListener("click", () => {
    root.dataset.scheme = night() ? "day" : "night";
    try { localStorage.setItem("scheme", root.dataset.scheme); } catch { /* a private window stores nothing */ }
    tell();
  });
  tell();

  const frames = [...document.querySelectorAll(".scroll, .frame")];
  const mark = () => frames.forEach(frame => {
    const more = frame.scrollWidth > frame.clientWidth + 1;
    frame.parentElement.classList.toggle("overflows", more);
    frame.tabIndex = more ? 0 : -1;
  });
  addEventListener("resize", mark);
  addEventListener("load", mark);
  mark();

  const dialog = document.querySelector("dialog.search");
  const field = dialog.querySelector("input");
  const list = dialog.querySelector("ol");
  const count = dialog.querySelector(".count");
  const home = new URL(dialog.dataset.home, document.baseURI);
  let engine;

  const load = address => new Promise((resolve, reject) => {
    document.head.append(Object.assign(document.createElement("script"),
      { src: address, onload: resolve, onerror: reject }));
  });
  const plain = html => new DOMParser().parseFromString(html, "text/html").body.textContent;

  // The index is a script, because a page opened from disk may not fetch files. What people ask for may be missing.
  const prepare = async () => {
    await Promise.all([load(dialog.dataset.library), load(dialog.dataset.index),
      load(dialog.dataset.asked).catch(() => {})]);
    const { asked = {}, weights = {}, unasked = [], negations = [], last = "/" } = window.__asked ?? {};
    const idle = new Set(unasked), denied = new Set(negations);
    const words = text => text.toLowerCase().normalize("NFD").replace(/\p{M}|['’]/gu, "");
    const made = new MiniSearch({
      idField: "location", fields: ["title", "asked", "text"], storeFields: ["title", "text"],
      processTerm: term => words(term),
      searchOptions: {
        prefix: word => word.length > 2 && word !== "not", boost: { title: 4, asked: 6 },
        fuzzy: word => word.length > 6 ? 2 : word.length > 4 ? 1 : 0,
        boostDocument: id => weights[id] ?? 1,
      },
    });
    const seen = new Set();
    for (const { location, title, text } of window.__index.docs) {
      if (seen.has(location)) continue;
      seen.add(location);
      made.add({ location, title: plain(title), asked: asked[location] ?? "",
        text: plain(text).replace(/\s+/g, " ").trim() });
    }
    const told = typed => words(typed).split(/[^\p{L}\p{N}-]+/u).filter(word => word && !idle.has(word))
      .map(word => denied.has(word) ? "not" : word).join(" ") || typed;
    const electricians = one => one.id.startsWith(last);
    // First pages asked for in these words, then those that hold every word; if there are none, those with any of
    // the words. The owner's come before the electrician's.
    return typed => {
      const sought = told(typed);
      const named = made.search(sought, { combineWith: "AND", fields: ["title", "asked"] });
      const seen = new Set(named.map(one => one.id));
      const all = [...named, ...made.search(sought, { combineWith: "AND" }).filter(one => !seen.has(one.id))];
      const found = all.length ? all : made.search(sought);
      return [...found.filter(one => !electricians(one)), ...found.filter(electricians)].slice(0, 20);
    };
  };

  const entry = ({ id, title, text }) => {
    const item = document.createElement("li");
    const link = Object.assign(document.createElement("a"), { href: new URL(id, home) });
    link.append(Object.assign(document.createElement("strong"), { textContent: title }),
      Object.assign(document.createElement("span"), { textContent: text.slice(0, 160) }));
    item.append(link);
    return item;
  };

  const search = async () => {
    try {
      engine ??= prepare();
      const words = field.value.trim();
      const found = words ? (await engine)(words) : [];
      if (words !== field.value.trim()) return;
      list.replaceChildren(...found.map(entry));
      count.textContent = words && !found.length ? count.dataset.none : "";
    } catch {
      engine = undefined;
      count.textContent = count.dataset.unready;
    }
  };

  document.querySelector(".masthead #find").addEventListener("click", () => { dialog.showModal(); search(); });
  field.addEventListener("input", search);
  dialog.querySelector(".close").addEventListener("click", () => dialog.close());
  dialog.querySelector("form").addEventListener("submit", event => {
    event.preventDefault();
    list.querySelector("a")?.click();
  });
  list.addEventListener("click", event => { if (event.target.closest("a")) dialog.close(); });
})();
