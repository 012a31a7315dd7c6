// Works out who is where from the records. The rules are the server's own, written in Go, and run
// here as a program: these scripts work out nothing about people themselves.

// start runs a copy of the program and returns its view and stop functions.
async function start(program) {
  const go = new globalThis.Go();
  const ready = new Promise((done) => { globalThis.partyReady = (view, stop) => done({ view, stop }); });
  const made = program instanceof Response ? await instantiate(program, go) : await WebAssembly.instantiate(program, go.importObject);
  go.run(made.instance);
  return ready;
}

// A copy without its content type cannot be compiled while it loads.
async function instantiate(response, go) {
  if (!response.ok) throw new Error(`answer ${response.status}`);
  if (response.headers.get("Content-Type") === "application/wasm") return WebAssembly.instantiateStreaming(response, go.importObject);
  return WebAssembly.instantiate(await response.arrayBuffer(), go.importObject);
}

// open loads the program and returns its view function, which takes and returns JSON text.
export async function open(glue, program) {
  if (typeof WebAssembly === "undefined") throw new Error("this browser has no WebAssembly");
  await import(glue);
  const { view } = await start(await fetch(program));
  return view;
}

// load returns look, which makes a view of a roster, terms, records and a time.
export async function load(glue, program) {
  const view = await open(glue, program);
  return (given) => read(view(JSON.stringify(given)));
}

function read(answer) {
  const view = JSON.parse(answer);
  if (view.error) throw new Error(view.error);
  view.people = new Map(view.people.map((person) => [person.id, person]));
  return view;
}

// tryKept runs the copy kept on the phone on a case with a known answer. It returns what is wrong,
// or "".
export async function tryKept(cache, files, program, known) {
  const kept = await caches.open(cache);
  for (const path of files) if (!(await kept.match(path))) return `not kept: ${path}`;
  const copy = await kept.match(program);
  const { view, stop } = await start(await copy.arrayBuffer());
  const answer = view(JSON.stringify(known.given));
  stop();
  return answer === known.want ? "" : "the kept program gives a wrong answer";
}

// at lists the people who are at one of the places.
export const at = (state, ...places) => [...state.people.values()].filter((person) => places.includes(person.where));

// ours are the person's records for this roll.
export const ours = (page, entries) => entries.filter((entry) => entry.by === page.by && entry.url === page.url);

// unseen are those that the server's page does not show yet.
export function unseen(page, entries) {
  const known = new Set(page.events.map((event) => event.id));
  return ours(page, entries).filter((entry) => entry.state !== "refused" && !known.has(entry.event.id));
}

// given is the input of the view: what the server knew, and this phone's records since. The server
// corrects the times of a phone whose clock is off, and the phone does the same; ahead is how many
// milliseconds its clock is fast.
export function given(page, entries, ahead) {
  const own = unseen(page, entries).map((entry) => ({ ...entry.event, by: entry.by, at: right(entry.event.at, ahead) }));
  return { roster: page.roster, terms: page.terms, events: [...page.events, ...own], now: right(Date.now(), ahead) };
}

const right = (at, ahead) => new Date(new Date(at).getTime() - ahead).toISOString();
