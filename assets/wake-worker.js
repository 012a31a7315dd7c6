// The worker that shows alarms. What arrives twice shows once: the key is the same, and the
// second takes the place of the first.

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("push", (event) => {
  let wake = { key: "saltbush", title: "Saltbush: an alarm", body: "Open the board.", url: "/board" };
  try {
    wake = { ...wake, ...event.data.json() };
  } catch {
    // Whatever it was, somebody is to look.
  }
  event.waitUntil(show(wake));
});

// One after the other: two of one key shown in the same moment were both seen to vanish.
let before = Promise.resolve();

function show(wake) {
  const shown = () => self.registration.showNotification(wake.title, {
    body: wake.body, tag: wake.key, data: wake.url, requireInteraction: true, vibrate: [400, 200, 400, 200, 400],
  });
  before = before.then(shown, shown);
  return before;
}

// A press opens the watch, in a window of this site where there is one.
self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  const url = new URL(event.notification.data, self.location.origin);
  if (url.origin !== self.location.origin) return;
  event.waitUntil(open(url.href));
});

async function open(url) {
  const windows = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const here = windows.find((client) => client.url === url);
  return here ? here.focus() : self.clients.openWindow(url);
}
