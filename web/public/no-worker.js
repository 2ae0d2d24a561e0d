// Served in place of the practice page's worker where that has to go: takes its place, forgets its copy of the page and ends.
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => {
  const end = async () => {
    for (const name of await caches.keys()) await caches.delete(name);
    await self.registration.unregister();
  };
  event.waitUntil(end());
});
