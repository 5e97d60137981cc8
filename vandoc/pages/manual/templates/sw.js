// Saves the manual on the phone. The owner's pages are fetched first; then this worker takes over and fetches the rest
// in the background. Unchanged files are copied from an older version, and interrupted fetching continues.
// A file is saved only if its content is that of this version, so that pages of two versions never mix.
"use strict";
const VERSION = $VERSION;
const OWNER = $OWNER;
const REST = $REST;
const UNSAVED = $UNSAVED;
const AT_ONCE = 4;
const PATIENCE_MS = 30_000; // without receiving a byte
const scope = self.registration.scope;
const prefix = `${scope} `;
const name = prefix + VERSION;
const SINCE = `${scope}?since`; // when this version replaced an older one
const at = path => new URL(path, scope).href;
// The key contains a mark of the content, so that versions can share a file.
const marked = (path, mark) => `${at(path)}?kept=${mark}`;
const known = new Map([...OWNER, ...REST].map(([path, mark]) => [at(path), { path, mark, key: marked(path, mark) }]));

const olderCaches = async () => (await caches.keys()).filter(key => key.startsWith(prefix) && key !== name);
const missing = async (cache, files) => {
  const kept = new Set((await cache.keys()).map(request => request.url));
  return files.filter(([path, mark]) => !kept.has(marked(path, mark)));
};

const fetched = async ({ path, mark }) => {
  const patience = new AbortController();
  let timer;
  const wait = () => { clearTimeout(timer); timer = setTimeout(() => patience.abort(), PATIENCE_MS); };
  try {
    wait();
    const found = await fetch(at(path), { cache: "no-cache", signal: patience.signal });
    if (!found.ok) throw new Error(`${path}: ${found.status}`);
    const parts = [];
    for (const reader = found.body.getReader();;) {
      wait();
      const { done, value } = await reader.read();
      if (done) break;
      parts.push(value);
    }
    const content = await new Blob(parts).arrayBuffer();
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
    if (![...digest].map(byte => byte.toString(16).padStart(2, "0")).join("").startsWith(mark)) {
      throw new Error(`${path}: of another version`);
    }
    // A new response: some hosts redirect card.html to card, and browsers reject a redirected page from a worker.
    return new Response(content, { headers: { "content-type": found.headers.get("content-type") ?? "" } });
  } finally {
    clearTimeout(timer);
  }
};

const tell = async trouble => {
  const cache = await caches.open(name);
  const since = Number(await (await cache.match(SINCE))?.text() ?? 0);
  const state = { owner: OWNER.length, rest: REST.length, trouble: Boolean(trouble), since,
    ownerMissing: (await missing(cache, OWNER)).length, restMissing: (await missing(cache, REST)).length };
  for (const page of await self.clients.matchAll({ type: "window", includeUncontrolled: true })) {
    if (page.url.startsWith(scope)) page.postMessage({ kept: state, version: VERSION });
  }
};

const takeOver = async files => {
  const cache = await caches.open(name);
  const older = await Promise.all((await olderCaches()).map(key => caches.open(key)));
  for (const [path, mark] of older.length ? await missing(cache, files) : []) {
    for (const one of older) {
      const found = await one.match(marked(path, mark));
      if (found) { await cache.put(marked(path, mark), found); break; }
    }
  }
};

const keep = async files => {
  const cache = await caches.open(name);
  const line = (await missing(cache, files)).values();
  const one = async () => {
    for (const [path, mark] of line) {
      await cache.put(marked(path, mark), await fetched({ path, mark }));
      await tell();
    }
  };
  const ends = await Promise.allSettled(Array.from({ length: AT_ONCE }, one));
  const cut = ends.find(end => end.status === "rejected");
  if (cut) throw cut.reason;
};

let running;
const keepRest = () => running ??= keep(REST).then(() => tell(), async () => {
  await tell(true);
  await self.registration.update().catch(() => { /* no network: the page asks again */ });
}).finally(() => { running = undefined; });

const answer = async request => {
  const address = new URL(request.url);
  address.search = address.hash = "";
  if (address.href === scope || address.href.endsWith("/")) address.pathname += "index.html";
  const file = known.get(address.href) ?? known.get(`${address.href}.html`);
  if (!file) return fetch(request);
  const cache = await caches.open(name);
  const found = await cache.match(file.key);
  if (found) return found;
  try {
    const fresh = await fetched(file);
    await cache.put(file.key, fresh.clone());
    return fresh;
  } catch {
    return request.mode === "navigate" ? Response.redirect(at(UNSAVED)) : Response.error();
  }
};

self.addEventListener("install", event => event.waitUntil(
  takeOver([...OWNER, ...REST]).then(() => keep(OWNER)).catch(async cut => { await tell(true); throw cut; })));
self.addEventListener("activate", event => event.waitUntil((async () => {
  const older = await olderCaches();
  if (older.length) await (await caches.open(name)).put(SINCE, new Response(String(Date.now())));
  for (const key of older) await caches.delete(key);
  await self.clients.claim();
  await tell();
})()));
self.addEventListener("message", event => {
  if (event.data === "go on") event.waitUntil(tell().then(keepRest));
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
});
self.addEventListener("fetch", event => {
  if (event.request.method === "GET" && event.request.url.startsWith(scope)) event.respondWith(answer(event.request));
});
