// The roll on a phone. Every tap is a record with its own id and the phone's time. It goes
// into the queue, shows at once, and is sent when there is signal; then the server's page,
// which alone knows what all records mean together, takes the place of ours.
//
// Which record moves a person from where to where stands in the page, made by the server.

// House judgement: try soon, then less often, to spare the battery on a day without signal.
const FIRST_TRY = 2000;
const LAST_TRY = 60000;
// House judgement: how often a page in sight asks what others recorded.
const LOOK = 30000;
const CLOCK_SLACK = 2 * 60000; // as the server's

const root = document.getElementById("roll");
const sending = document.getElementById("sending");
const phone = document.getElementById("phone");
const modules = ["queue", "fold", "record", "morph", "trail"].map((name) => root.dataset[name]);
const [queue, folding, recording, { morph, watchThumb }, { drawing: onTrail }] = await Promise.all(modules.map((path) => import(path)));

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

const { say, drawTicks, drawParties, drawSearch, drawCare, count } = onTrail({ root, folding, clock, copyOf, many });
setInterval(count, 5000);

const effective = () => folding.effective(page, entries);
const unseen = () => folding.unseen(page, entries);
const fold = () => folding.fold(page, served, entries);
const at = (state, ...places) => folding.at(state, ...places);

// ---- Drawing: the server's page, with this phone's records laid over it.

// Drawings queue up, and each reads the queue last of all: an older one never covers a newer.
let drawing = Promise.resolve();
const draw = () => (drawing = drawing.then(drawNow, drawNow));

async function drawNow() {
  do {
    await thumb.lifted;
    entries = await queue.all();
  } while (thumb.down);
  const next = served.cloneNode(true);
  const state = fold();
  turnTo(next);
  for (const list of findAll(".Roll-people", next)) drawRows(list, state);
  if (effective().length > 0) drawSums(next, state);
  drawDeparture(next, state);
  drawChoices(next, state);
  drawParties(next, state);
  drawSearch(next, state, page);
  drawCare(next, state);
  drawAlerts(next, state);
  drawLast(next);
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

function drawRows(list, state) {
  for (const person of state.people.values()) if (person.added) list.append(newRow(list, person));
  const where = list.closest("[data-part]").dataset.part;
  for (const row of findAll("[data-person]", list)) {
    const person = state.people.get(row.dataset.person);
    const taken = state.taken.has(find("[name=event]", row)?.value);
    if (person.entry) redraw(row, person, where, state.departed);
    else if (state.departed !== page.departed) act(row, person, where, state.departed);
    if (taken && !person.entry) find("form", row)?.remove();
    mark(row, person.entry?.state ?? (taken ? "waits" : "sent"));
  }
}

function newRow(list, person) {
  const row = copyOf("[data-row]");
  find("li", row).dataset.person = person.id;
  find(".Roll-name span", row).textContent = person.name;
  find(".Roll-number", row).textContent = String(list.children.length + 1);
  return row;
}

function redraw(row, person, where, departed) {
  find(".Roll-state", row)?.remove();
  const stamp = copyOf(`[data-stamp="${CSS.escape(person.where)}"]`);
  if (stamp) {
    find(".Roll-state > span:last-child", stamp).textContent = clock(person.entry.event.at);
    find(".Roll-who", row).append(stamp);
  }
  act(row, person, where, departed);
}

// act gives a row the buttons of where the person now is.
function act(row, person, where, departed) {
  find("form", row)?.remove();
  if (!page.open) return;
  const form = copyOf(`[data-act="${where}"][data-where="${CSS.escape(person.where)}"][data-departed="${departed ? "departed" : ""}"]`);
  if (!form) return;
  find("[name=person]", form).value = person.id;
  const undo = find("button[value=undo]", form);
  const record = person.entry?.event;
  if (undo && (!record || record.persons.length > 1)) return; // it would take back others too
  find("[name=event]", form).value = record?.id ?? "";
  for (const about of findAll(".unseen", form)) about.textContent = person.name;
  row.append(form);
}

function mark(row, state) {
  find(".Roll-state", row)?.append(copyOf(`[data-mark=${state}]`));
}

function drawSums(next, state) {
  const all = state.people.size;
  let big = `${at(state, "here").length} of ${all} here`;
  if (state.departed) big = at(state, ...page.accounted).length === all ? "Everybody is back, by this phone" : `${at(state, "out").length} out`;
  find(".Roll-big", next).textContent = big;
  find(".Roll-rest", next).textContent = state.departed ? `By this phone. The next count should give ${state.expected}.` : "By this phone.";
  const expected = find(".Roll-expected", next);
  if (expected) expected.textContent = `${state.expected} expected`;
}

// drawDeparture shows the gate at the trailhead by the marks on this phone.
function drawDeparture(next, state) {
  const box = find(".Roll-depart", next);
  if (!box) return;
  box.hidden = state.departed;
  if (effective().length === 0) return;
  const stop = folding.blocked(page, state);
  find(".Roll-blocked", box).hidden = find(".Roll-reason", box).hidden = stop === "";
  find(".Roll-blocked .Note > p:last-child", box).textContent = stop;
  find("button[value=departed]", box).textContent = `Leave with ${at(state, "here").length} out`;
  const open = at(state, "expected").map((person) => person.name);
  const note = find(".Roll-missing", box);
  const line = note && findAll("li", note).find((item) => item.textContent.startsWith("No answer yet"));
  if (!line) return;
  line.hidden = open.length === 0;
  line.textContent = `No answer yet: ${open.join(", ")}. Mark each here or not here.`;
  note.hidden = findAll("li:not([hidden])", note).length === 0;
}

// drawChoices offers in lists of people those whom this phone knows to be there.
function drawChoices(next, state) {
  const offer = (list, places) => list?.replaceChildren(list.options[0], ...at(state, ...places).map((person) => new Option(person.name, person.id)));
  const offered = { "early-who": ["out"], "early-buddy": ["out"], "away-who": ["expected", "here"] };
  for (const [id, places] of Object.entries(offered)) offer(find(`#${id}`, next), places);
  for (const box of findAll("[data-places]", next)) offer(find("select", box), box.dataset.places.split("|"));
  for (const box of findAll("[data-ticks]", next)) drawTicks(box, state);
}

function drawAlerts(next, state) {
  const alerts = wrong ? [{ title: "Not recorded", text: wrong }, ...state.alerts] : state.alerts;
  for (const { title, text } of alerts.reverse()) {
    const note = copyOf("[data-alert]");
    const [head, body] = findAll("p", note);
    head.textContent = title;
    body.textContent = text;
    find(".Note", note).setAttribute("role", "alert");
    find(".Roll-alerts", next).prepend(note);
  }
}

// drawLast offers to take back the newest record of this phone, else the server's.
function drawLast(next) {
  const newest = effective().at(-1);
  const box = find(".Roll-last", next);
  const event = find("[name=event]", box);
  if (newest) {
    box.hidden = false;
    event.value = newest.event.id;
    find("p", box).textContent = say(newest.event, nameOf);
    find("button", box).setAttribute("aria-label", `Undo ${say(newest.event, nameOf)}`);
  } else if (unseen().some((entry) => entry.event.retracts === event.value)) {
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

root.addEventListener("submit", async (event) => {
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
  if (wrong || made.kind === "counted") find(".Roll-alerts [role=alert]", root)?.scrollIntoView({ block: "center" });
  sync();
});

async function record(form, word) {
  const state = fold();
  const here = at(state, "here").map((person) => person.id);
  const made = recording.eventOf(form, page.kinds[word], here, state);
  wrong = recording.missing(form, made);
  if (wrong) return made;
  await queue.add(page.by, page.url, made);
  part = page.parts[made.kind] ?? part;
  form.reset();
  const more = form.closest("details");
  if (more) more.open = false;
  return made;
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
  const fresh = new DOMParser().parseFromString(await response.text(), "text/html").getElementById("roll");
  page = JSON.parse(fresh.dataset.offline);
  // A form's own id is new each time and not used here: without it an unchanged page is
  // known as one, and nothing moves under the thumb.
  for (const id of findAll("[name=event]", fresh)) if (!find("button[value=undo]", id.form)) id.setAttribute("value", "");
  served = fresh;
  await queue.tidy(page.url, page.known);
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
}

const files = () => [...findAll("script[src], link[href]").map((node) => node.src || node.href), ...modules]
  .map((address) => new URL(address, location).pathname);

root.addEventListener("click", (event) => {
  const tab = event.target.closest(".Tabs a");
  if (!tab) return;
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
addEventListener("online", soon);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
setInterval(() => document.visibilityState === "visible" && !busy && trouble === "" && sync(), LOOK);

await queue.open();
await draw();
sync();
keep();
