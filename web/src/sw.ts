/// <reference lib="webworker" />
// Keeps the practice page on the device, so that it opens without the network. It has nothing else: no other page, no data.

import { createHandlerBoundToURL, precacheAndRoute, cleanupOutdatedCaches } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

declare const self: ServiceWorkerGlobalScope & {
  __WB_MANIFEST: (string | { url: string; revision: string | null })[];
};

precacheAndRoute(self.__WB_MANIFEST);
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("practice.html"), { allowlist: [/\/practice(\?|$)/] }),
);
// A new version waits until nobody is in the middle of a drill: the page asks.
self.addEventListener("message", (event) => {
  if (event.data === "take") void self.skipWaiting();
});
