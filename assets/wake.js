// Asks this browser to be woken by alarms, once somebody presses the button: the worker that
// shows them is put in place, the push service gives an address, and the site keeps it.

const box = document.getElementById("wake-box");
const button = document.getElementById("wake-ask");
const says = document.getElementById("wake-says");
const say = (text) => { says.textContent = text; };

// No page lies in this scope: the worker shows alarms and nothing passes through it.
const SCOPE = "/wake/";

// House judgment: a push service that has not answered by then is not to be reached.
const PATIENCE = 15000;

const able = "serviceWorker" in navigator && "PushManager" in window && "Notification" in window;
if (!able) say("This browser cannot be woken. On an iPhone, put this site on the home screen and open it from there.");
else if (Notification.permission === "denied") say("Notifications of this site are forbidden in this browser's settings. Allow them there first.");
else button.hidden = false;

button.addEventListener("click", async () => {
  button.disabled = true;
  try {
    say(await ask());
  } catch (error) {
    say(`It did not work: ${error.message}`);
  }
  button.disabled = false;
});

async function ask() {
  const permission = await Notification.requestPermission();
  if (permission !== "granted") return "Nothing was changed: this browser was not allowed to show notifications.";
  const registration = await navigator.serviceWorker.register("/wake-worker.js", { scope: SCOPE });
  await ready(registration);
  say("Asking the push service ...");
  const late = new Promise((_, fail) => setTimeout(() => fail(new Error("the push service of this browser does not answer")), PATIENCE));
  const wish = { userVisibleOnly: true, applicationServerKey: box.dataset.key };
  const subscription = await Promise.race([registration.pushManager.subscribe(wish), late]);
  const { endpoint, keys } = subscription.toJSON();
  const answer = await fetch(box.dataset.url, {
    method: "POST",
    body: new URLSearchParams({ endpoint, p256dh: keys.p256dh, auth: keys.auth, label: label() }),
  });
  if (!answer.ok) {
    await subscription.unsubscribe();
    return await answer.text();
  }
  location.hash = "wake";
  location.reload();
  return "Done.";
}

// ready waits until the worker runs: a push service takes no subscription before.
async function ready(registration) {
  const worker = registration.active ?? registration.waiting ?? registration.installing;
  if (worker.state === "activated") return;
  await new Promise((done) => worker.addEventListener("statechange", () => { if (worker.state === "activated") done(); }));
}

// label names this browser for the person who removes it later.
function label() {
  const agent = navigator.userAgent;
  const find = (list) => list.find(([, sign]) => sign.test(agent))?.[0];
  const browser = find([["Firefox", /Firefox/], ["Edge", /Edg/], ["Chrome", /Chrome/], ["Safari", /Safari/]]) ?? "A browser";
  const system = find([["Android", /Android/], ["iPhone", /iPhone/], ["iPad", /iPad/], ["Windows", /Windows/], ["Mac", /Mac OS/], ["Linux", /Linux/]]);
  return system ? `${browser} on ${system}` : browser;
}
