// The manual is withdrawn: drops every copy of it from the phone, and itself.
"use strict";
const scope = self.registration.scope;
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const key of await caches.keys()) if (key.startsWith(`${scope} `)) await caches.delete(key);
  await self.clients.claim();
  await self.registration.unregister();
  for (const page of await self.clients.matchAll({ type: "window" })) {
    await page.navigate(new URL("index.html", scope)).catch(() => { /* closed meanwhile */ });
  }
})()));
