// The service worker of the roll. It holds two things and nothing else: the roll's page,
// where the server marks it as one to keep, and the files that the page is made of.

const CACHE = "saltbush-roll";
// House rule: a copy on a phone ends by itself this long after it was last fresh.
const LIFE = 48 * 3600 * 1000;
// House judgment: with one bar of signal nobody waits longer than this for a page that
// the phone has anyway.
const PATIENCE = 4000;

const isRoll = (path) => /^\/hikes\/\d+\/roll$/.test(path);
const isAsset = (path) => path.startsWith("/assets/");

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(Promise.all([self.clients.claim(), purge()])));

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (event.request.mode === "navigate") event.waitUntil(purge());
  if (isRoll(url.pathname)) event.respondWith(roll(event, url.pathname));
  else if (isAsset(url.pathname)) event.respondWith(asset(event.request, url.pathname));
});

// The page asks for its own address and its files to be kept, and hears until when.
self.addEventListener("message", (event) => {
  event.waitUntil(keepAll(event.data.keep).then((until) => event.ports[0].postMessage({ until })));
});

// roll goes to the network first. Only an opened page falls back to the copy: when the
// page's script asks, it must know whether the answer is fresh.
async function roll(event, path) {
  const fresh = fetch(event.request).then((response) => keepOrDrop(path, response));
  if (event.request.mode !== "navigate") return fresh;
  event.waitUntil(fresh.catch(() => {}));
  const late = new Promise((done) => setTimeout(done, PATIENCE));
  const first = await Promise.race([fresh, late]).catch(() => undefined);
  if (first && first.status < 500) return first;
  return (await held(path)) ?? fresh;
}

// asset needs no network for what is held: its address carries a hash of its content.
const asset = async (request, path) => (await held(path)) ?? fetch(request);

// keepOrDrop keeps what the server marks so. Any other answer but a failing server ends
// the copy: the hike is closed or stood down, or the person is signed out.
async function keepOrDrop(path, response) {
  if (response.ok && response.headers.get("Offline-Copy") === "keep") await store(path, response.clone());
  else if (response.status < 500) await drop(path);
  return response;
}

async function store(path, response) {
  const headers = new Headers(response.headers);
  headers.delete("Content-Encoding");
  headers.set("Kept-At", String(Date.now()));
  const cache = await caches.open(CACHE);
  await cache.put(path, new Response(await response.blob(), { headers }));
}

// drop ends the copy of one roll, and everything once no roll is left.
async function drop(path) {
  const cache = await caches.open(CACHE);
  await cache.delete(path);
  const left = await cache.keys();
  if (!left.some((request) => isRoll(new URL(request.url).pathname))) await caches.delete(CACHE);
}

const until = (response) => Number(response.headers.get("Kept-At")) + LIFE;

async function held(path) {
  if (!(await caches.has(CACHE))) return undefined;
  const response = await (await caches.open(CACHE)).match(path);
  if (response && until(response) < Date.now()) {
    await drop(path);
    return undefined;
  }
  return response;
}

async function keepAll(paths) {
  await purge();
  const page = paths.find(isRoll);
  if (!(await held(page))) await keepOrDrop(page, await fetch(page, { redirect: "manual" })).catch(() => {});
  if (!(await held(page))) return 0;
  // The files last as long as the page: what is already held gets a new stamp.
  for (const path of paths.filter(isAsset)) await store(path, (await held(path)) ?? (await fetch(path)));
  return until(await held(page));
}

// purge drops what is past its time.
async function purge() {
  if (!(await caches.has(CACHE))) return;
  const cache = await caches.open(CACHE);
  for (const request of await cache.keys()) await held(new URL(request.url).pathname);
}
