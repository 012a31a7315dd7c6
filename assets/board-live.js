// Keeps the board and a hike's watch page up to date, and says so as soon as it cannot: a page that
// has lost its connection must not look live.
//
// The server sends parts of the page, each with the id of what it replaces, and its clock every
// few seconds. Only an answer that is such a stream changes anything here.

// House judgment: the server sends its clock every 5 s, so two may be missed.
const SILENCE = 12000;
const FIRST_TRY = 1000;
const LAST_TRY = 8000;
// A browser allows few connections to one site, so a page that nobody sees gives its own up.
const UNSEEN = 60000;

const box = document.getElementById("live");
const lostNote = document.getElementById("live-lost");
const says = document.getElementById("live-says");
const { morph, watchThumb } = await import(box.dataset.morph);

const now = () => ({ date: Date.now(), run: performance.now() });
// One clock stops while a laptop sleeps and the other can be set back, so take the larger.
const since = (then) => Math.max(Date.now() - then.date, performance.now() - then.run);

let drawn = box.dataset.drawn; // the drawing that the page shows
let clock = box.dataset.clock; // the server's, at its last word
let heard = now();
let begun = now(); // the attempt that runs
let attempt = new AbortController();
let lost = false;
let stopped = []; // texts changed while the connection is lost: the node and its former text
let wake = () => {};
const thumb = watchThumb(document.querySelector("main"));

const tell = (event) => document.dispatchEvent(new CustomEvent(`live:${event}`, { detail: clock }));
const rest = (time) => new Promise((done) => { wake = done; setTimeout(done, time); });
const unseen = () => document.hidden && !box.dataset.listens;

function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

// ---- What the page says about its connection.

function found(text) {
  clock = text;
  heard = now();
  if (lost) {
    lost = false;
    lostNote.replaceChildren();
    document.documentElement.classList.remove("Live--lost");
  }
  says.hidden = false;
  write(says, `This page updates itself. The server was last heard at ${clock}.`);
  tell("word");
}

function lose(reason) {
  if (!lost) {
    lost = true;
    document.documentElement.classList.add("Live--lost");
    says.hidden = true;
    lostNote.innerHTML = '<div class="Note Note--grave"><p class="Note-title"></p><p></p></div>';
    stopClocks();
    tell("lost");
  }
  const [title, text] = lostNote.querySelectorAll("p");
  write(title, `Disconnected, as of ${clock}`);
  write(text, `This page is out of date. Go by the times on paper and use the phone. ${reason}`);
}

// stopClocks turns "in 6 min" into "6 min after 14:02", which stays true.
function stopClocks() {
  const at = clock.slice(0, 5);
  for (const part of document.querySelectorAll("[data-live]")) {
    const texts = document.createTreeWalker(part, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const node = texts.currentNode;
      const before = node.data;
      const after = before
        .replace(/\bin (\d+ min|\d+ h(?: \d\d)?)\b/g, `$1 after ${at}`)
        .replace(/\bpassed (\d+ min|\d+ h(?: \d\d)?) ago\b/g, `passed $1 before ${at}`);
      if (after !== before) {
        node.data = after;
        stopped.push([node, before]);
      }
    }
  }
}

function startClocks() {
  for (const [node, before] of stopped) node.data = before;
  stopped = [];
}

function refusal(answer) {
  if (answer.type === "opaqueredirect" || [401, 403, 404, 410].includes(answer.status)) {
    return "The server no longer shows this page to this browser. Reload it, and sign in if asked.";
  }
  if (answer.status === 200) return "Something other than the server is answering. Trying again.";
  return `The server returned an error (${answer.status}). Trying again.`;
}

// ---- The connection.

async function listen() {
  attempt = new AbortController();
  begun = now();
  const headers = { Accept: "text/event-stream", ...(drawn && { "Last-Event-ID": drawn }) };
  const options = { headers, cache: "no-store", redirect: "manual", signal: attempt.signal };
  let words = 0;
  try {
    const answer = await fetch(box.dataset.stream, options);
    const kind = answer.headers.get("Content-Type") ?? "";
    if (answer.status !== 200 || !kind.startsWith("text/event-stream")) {
      attempt.abort();
      lose(refusal(answer));
      return words;
    }
    for await (const message of messages(answer.body)) {
      words++;
      if (!await take(message)) break;
    }
  } catch (error) {
    if (!attempt.signal.aborted) console.debug("the line has ended:", error);
  }
  if (words === 0 && !attempt.signal.aborted) lose("No connection to the server. Trying again.");
  attempt.abort();
  return words;
}

// messages reads a stream of events: blocks of "name: value" lines, ended by an empty line. A block
// that is cut off is dropped.
async function* messages(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  for (let text = ""; ;) {
    const { done, value } = await reader.read();
    if (done) return;
    const blocks = (text + value).split("\n\n");
    text = blocks.pop();
    for (const block of blocks) yield fields(block);
  }
}

function fields(block) {
  const message = { id: "", event: "", data: [] };
  for (const line of block.split("\n")) {
    const [, name, value] = /^([a-z]+): ?(.*)$/.exec(line) ?? [];
    if (name === "data") message.data.push(value);
    else if (name) message[name] = value;
  }
  return { ...message, data: message.data.join("\n") };
}

// take reports false if the stream must start over.
async function take({ id, event, data }) {
  if (event === "clock") {
    found(data);
    return true;
  }
  await thumb.lifted;
  startClocks();
  if (!draw(data)) {
    drawn = ""; // the page is not the one the server knows: ask for everything
    return false;
  }
  drawn = id;
  return true;
}

function draw(html) {
  const next = document.createElement("template");
  next.innerHTML = html;
  const parts = [...next.content.children];
  if (drawn && parts.some((part) => !document.getElementById(part.id))) return false;
  for (const part of parts) {
    const old = document.getElementById(part.id);
    if (!old) continue;
    arrange(old, part);
    morph(old, part);
  }
  tell("drawn");
  return true;
}

// arrange moves existing rows into their new order, so that they stay the same elements.
function arrange(old, part) {
  const [list, next] = [old, part].map((e) => e.querySelector(".Board"));
  if (!list || !next) return;
  [...next.children].forEach((row, i) => {
    const known = document.getElementById(row.id);
    if (known?.parentNode === list && list.children[i] !== known) list.insertBefore(known, list.children[i]);
  });
}

function check() {
  if (since(heard) > SILENCE) {
    lose("Nothing heard from the server. Trying again.");
    if (since(begun) > SILENCE) attempt.abort();
  }
}

setInterval(check, 1000);
addEventListener("online", () => wake());
document.addEventListener("visibilitychange", () => {
  if (unseen()) {
    attempt.abort();
    return;
  }
  check();
  wake();
});

for (let wait = FIRST_TRY; ; wait = Math.min(2 * wait, LAST_TRY)) {
  while (unseen()) await rest(UNSEEN);
  if (await listen() > 0) wait = FIRST_TRY;
  await rest(wait * (0.7 + 0.6 * Math.random()));
}
