// Keeps the whole manual on the phone. A new version is fetched beside the old one, file by file, and takes its place
// when it is complete; a file that has not changed is taken over, and a fetch that was cut off goes on where it stopped.
"use strict";
const VERSION = $VERSION;
const FILES = $FILES;
const scope = self.registration.scope;
const prefix = `${scope} `;
const name = prefix + VERSION;
const at = path => new URL(path, scope).href;
const marked = (path, mark) => `${at(path)}?kept=${mark}`;

// The mark in the key says which content it is, so that versions can share it.
const olderCaches = async () => (await caches.keys()).filter(key => key.startsWith(prefix) && key !== name);

const keep = async () => {
  const cache = await caches.open(name);
  const older = await Promise.all((await olderCaches()).map(key => caches.open(key)));
  for (const [path, mark] of FILES) {
    const key = marked(path, mark);
    if (await cache.match(key)) continue;
    let found;
    for (const one of older) found ??= await one.match(key);
    found ??= await fetch(at(path), { cache: "no-cache" });
    if (!found.ok) throw new Error(`${path}: ${found.status}`);
    // Some hosts lead card.html to card; a browser takes no answer that was led elsewhere for a page.
    if (found.redirected) found = new Response(await found.blob(), { headers: found.headers });
    await cache.put(key, found);
  }
};

const marks = new Map(FILES.map(([path, mark]) => [at(path), marked(path, mark)]));

const answer = async request => {
  const address = new URL(request.url);
  address.search = address.hash = "";
  if (address.href === scope || address.href.endsWith("/")) address.pathname += "index.html";
  const key = marks.get(address.href) ?? marks.get(`${address.href}.html`);
  const found = key && await (await caches.open(name)).match(key);
  return found || fetch(request);
};

self.addEventListener("install", event => event.waitUntil(keep().then(() => self.skipWaiting())));
self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const key of await olderCaches()) await caches.delete(key);
  await self.clients.claim();
})()));
self.addEventListener("fetch", event => {
  if (event.request.method === "GET" && event.request.url.startsWith(scope)) event.respondWith(answer(event.request));
});
