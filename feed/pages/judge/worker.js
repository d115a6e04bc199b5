// Keeps the judge's page alive through a reload without a link: the feed's own files while there is a link, the kept
// ones when there is none. A classic script, because browsers of some years ago know no other kind of worker.

const CACHE = "fivemark-judge-1";
// A link that is only half dead never says so: the kept file is taken after this, milliseconds.
const PATIENCE_MS = 3000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

// The page says what it is made of.
self.addEventListener("message", (event) => {
  const { keep } = event.data || {};
  if (Array.isArray(keep)) event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(keep)));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && new URL(request.url).origin === self.location.origin) event.respondWith(answer(request));
});

async function answer(request) {
  const cache = await caches.open(CACHE);
  const known = () => cache.match(request, { ignoreSearch: true, ignoreVary: true });
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, null));
  const fresh = fetch(request).then((response) => {
    if (response.ok) cache.put(request, response.clone());
    return response;
  });
  // One that fails after its time is nobody's any more.
  fresh.catch(() => {});
  try {
    return (await Promise.race([fresh, late])) || (await known()) || (await fresh);
  } catch (error) {
    const kept = await known();
    if (kept) return kept;
    throw error;
  }
}
