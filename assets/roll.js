// The roll on a phone. Every tap is a record with its own id and the phone's time. It goes
// into the queue, shows at once, and is sent when there is signal; then the server's page,
// which knows what others recorded, takes the place of ours.
//
// What the records mean is worked out by the server's own program, which runs here too.

// House judgment: try soon, then less often, to spare the battery on a day without signal.
const FIRST_TRY = 2000;
const LAST_TRY = 60000;
// House judgment: how often a page in sight asks what others recorded.
const LOOK = 30000;
const CLOCK_SLACK = 2 * 60000; // as the server's

const root = document.getElementById("roll");
const sending = document.getElementById("sending");
const phone = document.getElementById("phone");
const modules = ["queue", "party", "record", "morph", "trail", "start", "sheet"].map((name) => root.dataset[name]);
const { glue, program } = root.dataset;
const [queue, folding, recording, { morph, watchThumb }, { drawing: onTrail }, { rows }, { sheet }] = await Promise.all(modules.map((path) => import(path)));

let page = JSON.parse(root.dataset.offline); // what the server knew
let served = root.cloneNode(true); // and how it drew it
let part = new URLSearchParams(location.search).get("part") ?? page.part;
let entries = []; // the queue
let wrong = ""; // what kept the last tap from being recorded
let trouble = ""; // why nothing goes out
let clockWords = "";
let drawn = ""; // what stands in the page
const thumb = watchThumb(root);

const find = (selector, within = document) => within.querySelector(selector);
const findAll = (selector, within = document) => [...within.querySelectorAll(selector)];
const slot = (box, name) => find(`[data-slot="${name}"]`, box);
const many = (n, one, more) => `${n} ${n === 1 ? one : more}`;
const nameIn = (row) => find(".Roll-name span", row).textContent;
const copyOf = (selector) => find(`template${selector}`)?.content.cloneNode(true);

function clock(at) {
  return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: page.zone }).format(new Date(at));
}

const { at } = folding;
const { say, drawTicks, drawParties, drawSearch, drawCare, count } = onTrail({ root, at, clock, copyOf });
const stepText = (step) => find(`[data-step="${step}"] p`, root)?.lastChild.textContent.trim() ?? "";
const drawSheet = sheet({ clock, page: () => page, stepText });

const { drawRows, drawGate, drawDeparture, gateOf } = rows({ root, page: () => page, clock, copyOf, entryOf: (id) => entryOf(id) });

let look; // makes the view; undefined where the program does not run
const unseen = () => folding.unseen(page, entries);
let last = {}; // the view is worked out again only if something has changed: it takes a slow phone 0.2 s
function fold() {
  const given = folding.given(page, entries, queue.ahead());
  const key = [Math.floor(Date.now() / 15000), ...given.events.map((event) => event.id)].join(" ");
  if (last.page !== page || last.key !== key) last = { page, key, view: look(given) };
  return last.view;
}

// ---- Drawing: the server's page, with this phone's records laid over it.

// Drawings queue up, and each reads the queue last of all: an older one never covers a newer.
let drawing = Promise.resolve();
const draw = () => (drawing = drawing.then(drawNow).catch(notDrawn));

function notDrawn(failure) {
  console.error(failure);
  sending.hidden = false;
  slot(sending, "sum").textContent = `This page cannot be shown (${failure.message}). Your records are still kept; write them on paper too.`;
}

async function drawNow() {
  do {
    await thumb.lifted;
    entries = await queue.all();
  } while (thumb.down);
  const next = served.cloneNode(true);
  const state = fold();
  turnTo(next);
  for (const list of findAll(".Roll-people", next)) drawRows(list, state);
  if (unseen().length > 0) drawSums(next, state);
  drawOld(next, state);
  drawGate(next, state, asOf());
  drawDeparture(next, state);
  drawChoices(next, state);
  drawParties(next, state);
  drawSearch(next, state, page);
  drawCare(next, state);
  drawAlerts(next, state);
  drawSheet(next, state, asOf(), trouble !== "");
  drawLast(next, state);
  if (next.innerHTML !== drawn) swap(next);
  count();
  drawSending();
  drawPhone();
}

function turnTo(next) {
  for (const box of findAll("[data-part]", next)) box.hidden = box.dataset.part !== part;
  for (const tab of findAll(".Tabs a", next)) {
    if (new URL(tab.href).searchParams.get("part") === part) tab.setAttribute("aria-current", "page");
    else tab.removeAttribute("aria-current");
  }
}

// entryOf finds the record of this phone that the server does not show yet.
const entryOf = (id) => unseen().find((entry) => entry.event.id === id);

function drawSums(next, state) {
  find(".Roll-big", next).textContent = state.headline;
  find(".Roll-rest", next).textContent = state.departed ? `From this phone's records. The next count should give ${state.sums.expected}.` : "From this phone's records.";
  const expected = find(".Roll-expected", next);
  if (expected) expected.textContent = `${state.sums.expected} expected`;
}

// drawOld says which parts of the page the server drew before this phone's records, and that its times
// count from the planned start where it does not know that the party has left.
function drawOld(next, state) {
  if (unseen().length === 0) return;
  const left = state.departed && !page.departed ? ` You left at ${clock(state.departed)}, but these times still count from the planned start.` : "";
  for (const title of findAll("#facts, #seen, #cars", next)) {
    const words = `As of ${page.as_of}, without what you have recorded on this phone since.${title.id === "facts" ? left : ""}`;
    title.after(Object.assign(document.createElement("p"), { className: "Roll-old", textContent: words }));
  }
}

const asOf = () => (unseen().length > 0 ? `From the server as of ${page.as_of}, plus this phone's records since.` : `From the server as of ${page.as_of}.`);

// drawChoices offers in lists of people those whom this phone knows to be there.
function drawChoices(next, state) {
  const offer = (list, places) => list?.replaceChildren(list.options[0], ...at(state, ...places).map((person) => new Option(person.name, person.id)));
  const offered = { "early-who": ["out"], "early-buddy": ["out"], "away-who": ["expected", "here"] };
  for (const [id, places] of Object.entries(offered)) offer(find(`#${id}`, next), places);
  for (const box of findAll("[data-places]", next)) offer(find("select", box), box.dataset.places.split("|"));
  for (const box of findAll("[data-ticks]", next)) drawTicks(box, state);
}

function drawAlerts(next, state) {
  const own = new Set(unseen().map((entry) => entry.event.id));
  const box = find(".Roll-flags", next);
  box.hidden = state.flags.length === 0;
  box.replaceChildren(...state.flags.flatMap(({ kind, alarm, words, look, since, claims, settle }) => {
    const isNew = claims?.some((claim) => own.has(claim.event));
    const made = note(alarm ? "[data-alert]" : "[data-caution]", sentence(kind), [sentence(words), lookWords(look, since)].filter(Boolean).join(". "), isNew);
    return settle ? [made, ...claims.map(claimOf)] : [made];
  }));
  const thunder = find(".Roll-thunder", next);
  thunder.hidden = !state.resume;
  if (state.resume) find(".Note-title", thunder).textContent = thunder.dataset.title + clock(state.resume);
  if (wrong) find(".Roll-alerts", next).prepend(note("[data-alert]", "Not recorded", wrong, true));
}

// lookWords says where to look for whom a low count lacks, as the server does.
const lookWords = (look, since) => (since?.at ? `${look} The last right count was at ${since.place} at ${clock(since.at)}.` : look);

// claimOf is one of two records that contradict each other, with the button that takes it back.
function claimOf({ kind, at: when, by, event }) {
  const made = copyOf("[data-claim]");
  find("span", made).textContent = `${sentence(kind)}, ${clock(when)}, by ${by}`;
  find("[name=event]", made).value = event;
  return made;
}

const sentence = (words) => words.charAt(0).toUpperCase() + words.slice(1);

function note(template, title, text, isNew) {
  const made = copyOf(template);
  const [head, body] = findAll("p", made);
  head.textContent = title;
  body.textContent = text;
  if (isNew) find(".Note", made).setAttribute("role", "alert");
  return made;
}

// drawLast offers to take back the newest record. The words for one of the server's are its own.
function drawLast(next, state) {
  const newest = entryOf(state.newest);
  const box = find(".Roll-last", next);
  const event = find("[name=event]", box);
  if (newest) {
    box.hidden = false;
    event.value = newest.event.id;
    find("p", box).textContent = say(newest.event, nameOf);
    find("button", box).setAttribute("aria-label", `Undo ${say(newest.event, nameOf)}`);
  } else if (event.value !== state.newest) {
    box.hidden = true;
  }
}

// swap puts the new drawing in place. Whoever loses the button they pressed stands at
// their row's next one.
function swap(next) {
  drawn = next.innerHTML;
  const person = root.contains(document.activeElement) && document.activeElement.closest("[data-person]")?.dataset.person;
  morph(root, next);
  if (person && document.activeElement === document.body) {
    find(`[data-part="${part}"] [data-person="${person}"] button`, root)?.focus({ preventScroll: true });
  }
}

// ---- What is sent and what waits.

function drawSending() {
  const own = entries.filter((entry) => entry.by === page.by);
  const waits = own.filter((entry) => entry.state === "waits").length;
  const refused = own.filter((entry) => entry.state === "refused").length;
  const others = new Set(entries.filter((entry) => entry.by !== page.by && entry.state === "waits").map((entry) => entry.by));
  const said = [];
  if (refused > 0) said.push(`${many(refused, "record was", "records were")} refused: see below, under On this phone.`);
  if (waits > 0) said.push(`${many(waits, "record waits", "records wait")} on this phone. ${trouble || "Being sent."}`);
  for (const name of others) said.push(`Records by ${name} wait until they sign in on this phone.`);
  if (said.length === 0) said.push("Everything is sent.");
  const state = refused > 0 ? "refused" : waits > 0 || others.size > 0 ? "waits" : "sent";
  if (sending.dataset.state !== state) slot(sending, "mark").replaceChildren(copyOf(`[data-mark=${state}]`));
  sending.dataset.state = state;
  const sum = slot(sending, "sum");
  if (sum.textContent !== said.join(" ")) sum.textContent = said.join(" ");
  find("button", phone).hidden = waits + refused === 0;
  sending.hidden = phone.hidden = false;
}

function drawPhone() {
  slot(phone, "as-of").textContent = `The server was last heard from at ${page.as_of}. ${clockWords}`;
  find(".Roll-records", phone).replaceChildren(...folding.ours(page, entries).map((entry) => {
    const line = document.createElement("li");
    line.append(copyOf(`[data-mark=${entry.state}]`), ` ${say(entry.event, nameOf)}${entry.why ? `. Refused: ${entry.why}. It is kept here.` : ""}`);
    return line;
  }));
}

function nameOf(id) {
  const row = find(`[data-person="${CSS.escape(id)}"]`, root);
  return row ? nameIn(row) : "unknown person";
}

// ---- Recording.

const taking = new WeakSet();

root.addEventListener("change", (event) => event.target.name === "route" && draw());

root.addEventListener("submit", async (event) => {
  if (!look) return; // the form goes to the server
  event.preventDefault();
  const form = event.target;
  if (taking.has(form)) return; // the second tap of a double tap
  taking.add(form);
  let made;
  try {
    made = await record(form, event.submitter?.value);
  } catch (failure) {
    wrong = `This phone could not keep the record (${failure.message}). Write it on paper.`;
  }
  taking.delete(form);
  await draw();
  // What a record asks for comes into sight: the call for help, or the new numbers.
  if (wrong || made.kind === "counted") find(".Roll-alerts [role=alert]", root)?.scrollIntoView({ block: "center" });
  else if (made.kind === "missing") find(".Roll-search", root)?.scrollIntoView({ block: "start" });
  else if (["departed", "left-early", "found"].includes(made.kind)) find(".Roll-big", root)?.scrollIntoView({ block: "center" });
  sync();
});

async function record(form, word) {
  const state = fold();
  const here = at(state, "here").map((person) => person.id);
  const made = recording.eventOf(form, page.kinds[word], here, state);
  wrong = (made.kind === "departed" && leave(made, gateOf(state))) || recording.missing(form, made);
  if (wrong) return made;
  await queue.add(page.by, page.url, made);
  part = page.parts[made.kind] ?? part;
  form.reset();
  const more = form.closest("details");
  if (more) more.open = false;
  return made;
}

// leave puts into a departure what stops it, and says what else it needs.
function leave(made, { blocked, against }) {
  if (!made.persons) return "Nobody is marked here, so nobody can leave.";
  if (!blocked) return "";
  made.against = against;
  return made.note ? "" : `${blocked} To leave all the same, write the reason.`;
}

// ---- Sending, and hearing from the server.

let busy = false;
let once = false; // asked to sync while syncing
let pause = FIRST_TRY;
let timer;

async function sync() {
  if (busy) {
    once = true;
    return;
  }
  busy = true;
  clearTimeout(timer);
  try {
    await sendAll();
    await refresh();
    trouble = "";
    pause = FIRST_TRY;
  } catch (failure) {
    trouble = failure.message;
    timer = setTimeout(sync, pause);
    pause = Math.min(pause * 2, LAST_TRY);
  }
  busy = false;
  await draw();
  if (once) {
    once = false;
    sync();
  }
}

async function sendAll() {
  for (let more = true; more;) {
    const answer = await queue.sendSome(page.by);
    if (answer.at) measure(answer.at);
    more = answer.more;
  }
}

// measure tells the person of a wrong clock; the server corrects the times by itself.
function measure(at) {
  const off = Date.now() - at;
  queue.noteClock(Math.abs(off) > CLOCK_SLACK ? off : 0);
  const minutes = Math.round(Math.abs(off) / 60000);
  clockWords = Math.abs(off) > CLOCK_SLACK ? `This phone's clock is ${many(minutes, "minute", "minutes")} ${off > 0 ? "fast" : "slow"}; times are put right when records are sent.` : "";
}

// refresh takes over the server's page.
async function refresh() {
  let response;
  try {
    response = await fetch(`${location.pathname}?part=${part}`, { redirect: "manual", signal: AbortSignal.timeout(15000) });
  } catch {
    throw new Error("No signal.");
  }
  if (response.type === "opaqueredirect") throw new Error("You are signed out: sign in again, on this phone, to send.");
  if (!response.ok) throw new Error("The server did not show the roll.");
  if (response.headers.has("Date")) measure(new Date(response.headers.get("Date")));
  const fresh = new DOMParser().parseFromString(await response.text(), "text/html").getElementById("roll");
  page = JSON.parse(fresh.dataset.offline);
  // A form's own id is new each time and not used here: without it an unchanged page is
  // known as one, and nothing moves under the thumb.
  for (const id of findAll("[name=event]", fresh)) if (!find("button[value=undo]", id.form)) id.setAttribute("value", "");
  served = fresh;
  await queue.tidy(page.url, page.events.map((event) => event.id));
}

function soon() {
  pause = FIRST_TRY;
  sync();
}

// ---- Keeping the page for where there is no signal.

async function keep() {
  const said = slot(phone, "kept");
  const worker = navigator.serviceWorker;
  if (!worker || !page.open) {
    said.textContent = "This page is not kept on this phone: it needs signal to be opened.";
    return;
  }
  await worker.register("/sw.js", { scope: "/hikes/" });
  const { active } = await worker.ready;
  const channel = new MessageChannel();
  const answer = new Promise((done) => { channel.port1.onmessage = (event) => done(event.data); });
  active.postMessage({ keep: [location.pathname, ...files()] }, [channel.port2]);
  const { until } = await answer;
  const day = new Intl.DateTimeFormat("en-GB", { weekday: "short", timeZone: page.zone }).format(until);
  said.textContent = until ? `This page is kept on this phone until ${day} ${clock(until)} and works without signal. Each contact with the server makes it last 48 hours more; closing the hike or standing down ends it.`
    : "This page is not kept on this phone: it needs signal to be opened.";
  phone.dataset.kept = until ? "yes" : "no";
  if (until) await ready();
}

// ready says that the phone works without signal once its kept copy has been tried.
async function ready() {
  const lacks = await folding.tryKept("saltbush-roll", [location.pathname, ...files()], program, page.case).catch((failure) => failure.message);
  slot(phone, "ready").textContent = lacks === "" ? "This phone is ready for the trail: the kept copy was tested and works." : `This phone is not ready for the trail: ${lacks}. Open this page again with signal.`;
  phone.dataset.ready = lacks === "" ? "yes" : "no";
  const tried = JSON.parse(localStorage["saltbush-ready"] ?? "{}");
  tried[location.pathname] = lacks === "" ? [location.pathname, ...files()] : undefined;
  localStorage["saltbush-ready"] = JSON.stringify(tried);
}

const files = () => [...findAll("script[src], link[href]").map((node) => node.src || node.href), ...modules, glue, program]
  .map((address) => new URL(address, location).pathname);

root.addEventListener("click", (event) => {
  const tab = event.target.closest(".Tabs a");
  if (!tab || !look) return;
  event.preventDefault();
  part = new URL(tab.href).searchParams.get("part");
  wrong = "";
  history.replaceState(null, "", tab.href);
  draw();
});
find("button", phone).addEventListener("click", async () => {
  await queue.again(page.by);
  soon();
});
find("form[action='/sign-out']")?.addEventListener("submit", () => caches.delete("saltbush-roll"));
addEventListener("online", () => look && soon());
document.addEventListener("visibilitychange", () => look && document.visibilityState === "visible" && soon());
setInterval(() => look && document.visibilityState === "visible" && !busy && trouble === "" && sync(), LOOK);

// plain leaves the page to the server where the program does not run.
function plain(failure) {
  sending.hidden = phone.hidden = false;
  slot(sending, "sum").textContent = "This page needs signal for every tap.";
  slot(phone, "kept").textContent = `This phone cannot keep the roll without signal (${failure.message}). Every tap goes to the server at once. Take a paper copy.`;
  phone.dataset.ready = "no";
  sendAll().catch(() => {}); // what an earlier visit kept
}

await queue.open();
try {
  look = await folding.load(glue, program);
} catch (failure) {
  plain(failure);
}
if (look) {
  await draw();
  sync();
  keep();
}
