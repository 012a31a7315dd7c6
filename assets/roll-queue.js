// The records that this phone made, kept in IndexedDB until the server shows them. A
// record is on the phone's disk before the page says anything about it.
//
// An entry is {n, by, url, event, state, why, kept}: n is the order of making, by who was
// signed in, url where it goes, event what the server reads, state one of "waits", "sent"
// and "refused".

// House judgment: a batch small enough to get through in a moment of signal.
const BATCH = 50;
// Long enough for one bar of signal, and below the two minutes from which the server takes
// a difference in time for a wrong clock.
const PATIENCE = 30000;
const DAY = 24 * 3600 * 1000;

let db;

// open opens the store. It fails where the browser gives none, as in some private windows.
export async function open() {
  const asked = indexedDB.open("saltbush-roll", 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore("records", { keyPath: "n", autoIncrement: true });
  db = await new Promise((done, fail) => {
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  navigator.storage?.persist?.();
}

// within runs one transaction and waits until it is on disk.
function within(mode, work) {
  const tx = db.transaction("records", mode, { durability: "strict" });
  const asked = work(tx.objectStore("records"));
  return new Promise((done, fail) => {
    tx.oncomplete = () => done(asked?.result);
    tx.onerror = tx.onabort = () => fail(tx.error);
  });
}

// all lists the entries in the order of making.
export const all = () => within("readonly", (store) => store.getAll());

export const add = (by, url, event) => within("readwrite", (store) => store.add({ by, url, event, state: "waits" }));

const change = (entries) => within("readwrite", (store) => void entries.forEach((entry) => store.put(entry)));

const remove = (entries) => within("readwrite", (store) => void entries.forEach((entry) => store.delete(entry.n)));

// tidy lets go of what the server's page shows, of what was sent and never asked after,
// and, after two weeks, of what was refused. What waits is never let go.
export async function tidy(url, known) {
  const shown = new Set(known);
  const over = (entry, days) => Date.now() - entry.kept > days * DAY;
  const entries = await all();
  await remove(entries.filter((entry) => (entry.state === "sent" && ((entry.url === url && shown.has(entry.event.id)) || over(entry, 2)))
    || (entry.state === "refused" && over(entry, 14))));
}

// again lets what was refused go out once more.
export async function again(by) {
  const refused = (await all()).filter((entry) => entry.by === by && entry.state === "refused");
  await change(refused.map((entry) => ({ ...entry, state: "waits" })));
}

// ahead is how fast this phone's clock is, in milliseconds, by the last contact with the server.
export const ahead = () => Number(localStorage["saltbush-clock"] ?? 0);
export const noteClock = (off) => { localStorage["saltbush-clock"] = off; };

// sendSome sends the oldest batch of the person's records and reports the server's time
// and whether more waits. It fails with words for the person.
export async function sendSome(by) {
  const waiting = (await all()).filter((entry) => entry.by === by && entry.state === "waits");
  if (waiting.length === 0) return { more: false };
  const url = waiting[0].url;
  const batch = waiting.filter((entry) => entry.url === url).slice(0, BATCH);
  const answer = await post(url, batch.map((entry) => entry.event));
  const kept = new Set(answer.kept);
  const why = new Map(answer.refused.map((one) => [one.id, one.why]));
  const settled = batch.filter(({ event }) => kept.has(event.id) || why.has(event.id));
  await change(settled.map((entry) => ({ ...entry, kept: Date.now(), ...outcome(kept.has(entry.event.id), why.get(entry.event.id)) })));
  if (settled.length < batch.length) throw new Error("The server did not answer for every record.");
  return { more: waiting.length > batch.length, at: new Date(answer.at) };
}

const outcome = (kept, why) => (kept ? { state: "sent", why: "" } : { state: "refused", why });

async function post(url, events) {
  const body = JSON.stringify({ sent_at: new Date().toISOString(), events });
  let response;
  try {
    response = await fetch(url, {
      method: "POST",
      body,
      redirect: "manual",
      headers: { "Content-Type": "application/json" },
      keepalive: body.length < 60000, // goes on when the page is left; browsers allow no more
      signal: AbortSignal.timeout(PATIENCE),
    });
  } catch {
    throw new Error("No signal.");
  }
  if (response.type === "opaqueredirect") throw new Error("You are signed out: sign in again, on this phone, to send.");
  if (!response.ok) throw new Error(words(response.status));
  return response.json();
}

function words(status) {
  if (status === 403 || status === 404) return "Your account may not record on this roll any more. Ask a coordinator.";
  if (status < 500) return `The server does not take the records (answer ${status}).`;
  return "The server is out of order; it will be tried again.";
}
