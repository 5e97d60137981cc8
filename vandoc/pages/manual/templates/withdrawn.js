// The manual is withdrawn: deletes every copy of it on the phone, and unregisters this worker.
"use strict";
const scope = self.registration.scope;
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const key of await caches.keys()) if (key.startsWith(`${scope} `)) await caches.delete(key);
  await self.clients.claim();
  await self.registration.unregister();
  for (const page of await self.clients.matchAll({ type: "window" })) {
    await page.navigate(new URL("index.html", scope)).catch(() => { /* the page was closed */ });
  }
})()));
