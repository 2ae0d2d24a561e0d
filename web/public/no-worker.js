// Served in place of the practice page's worker where that has to go: takes its place, forgets its copy of the page and ends.
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => {
  const end = async () => {
    // Others at this address may have caches too; ours end with where the worker is at home.
    const ours = (await caches.keys()).filter((name) => name.endsWith(self.registration.scope));
    for (const name of ours) await caches.delete(name);
    await self.registration.unregister();
  };
  event.waitUntil(end());
});
