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

  // The index is a script, because a page opened from disk may not fetch files.
  const prepare = async () => {
    await Promise.all([load(dialog.dataset.library), load(dialog.dataset.index)]);
    const made = new MiniSearch({
      idField: "location", fields: ["title", "text"], storeFields: ["title", "text"],
      searchOptions: { prefix: true, fuzzy: word => word.length > 3 ? .3 : 0, boost: { title: 4 } },
    });
    const seen = new Set();
    for (const { location, title, text } of window.__index.docs) {
      if (seen.has(location)) continue;
      seen.add(location);
      made.add({ location, title: plain(title), text: plain(text).replace(/\s+/g, " ").trim() });
    }
    return made;
  };

  const entry = ({ id, title, text }) => {
    const item = document.createElement("li");
    const link = Object.assign(document.createElement("a"), { href: new URL(id, home) });
    link.append(Object.assign(document.createElement("strong"), { textContent: title }),
      Object.assign(document.createElement("span"), { textContent: text.slice(0, 160) }));
    item.append(link);
    return item;
  };

  // Pages with every word; if there are none, pages with any of the words.
  const look = (made, words) => {
    const all = made.search(words, { combineWith: "AND" });
    return (all.length ? all : made.search(words)).slice(0, 20);
  };

  const search = async () => {
    try {
      engine ??= prepare();
      const words = field.value.trim();
      const found = words ? look(await engine, words) : [];
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
