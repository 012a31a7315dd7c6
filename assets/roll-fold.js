// What a phone knows beyond the server's page: its own records laid over where the server
// saw everybody. It moves people by the server's table and judges a count; what all records
// mean together only the server says.

const nameIn = (row) => row.querySelector(".Roll-name span").textContent;

// ours are the person's records for this roll.
export const ours = (page, entries) => entries.filter((entry) => entry.by === page.by && entry.url === page.url);

// unseen are those that the server's page does not show yet.
export const unseen = (page, entries) => ours(page, entries).filter((entry) => entry.state !== "refused" && !page.known.includes(entry.event.id));

// effective leaves out what was taken back and the taking back.
export function effective(page, entries) {
  const list = unseen(page, entries);
  const undone = new Set(list.map((entry) => entry.event.retracts));
  return list.filter((entry) => entry.event.kind !== "undone" && !undone.has(entry.event.id));
}

// fold takes the people from where the server saw them to where this phone says.
export function fold(page, served, entries) {
  const parties = new Map((page.parties ?? []).map(({ name, extra }) => [name, extra]));
  const search = page.search ? { ...page.search, steps: { ...page.search.steps } } : undefined;
  const state = { people: new Map(), departed: page.departed, expected: page.expected, alerts: [], taken: new Set(), parties, search, care: [] };
  for (const row of served.querySelectorAll("[data-part=start] [data-person]")) {
    const { person, where, role, staff } = row.dataset;
    const more = page.people?.[person] ?? {};
    state.people.set(person, { id: person, name: nameIn(row), where, role, staff: staff !== undefined, party: more.party ?? "", minor: more.minor, acts: more.acts });
  }
  for (const { event } of unseen(page, entries)) if (event.kind === "undone") state.taken.add(event.retracts);
  for (const entry of effective(page, entries)) apply(page, state, entry);
  return state;
}

// at lists the people who are at one of the places.
export const at = (state, ...places) => [...state.people.values()].filter((person) => places.includes(person.where));

function apply(page, state, entry) {
  const { event } = entry;
  if (other[event.kind]) {
    other[event.kind](state, event, page);
    return;
  }
  const ids = [...new Set([...(event.persons ?? []), ...(event.buddies ?? [])])];
  const before = new Map(ids.map((id) => [id, state.people.get(id)?.where]));
  for (const id of ids) move(page, state, entry, id);
  if (event.kind === "departed" && !state.departed) Object.assign(state, { departed: true, expected: ids.length });
  // Whoever comes back to the group is in the number again; who never left it is in it.
  if (event.kind === "joined" && state.departed) state.expected += ids.filter((id) => !["out", "back"].includes(before.get(id))).length;
  // Who leaves is off the number at that moment.
  if (["left-early", "at-car"].includes(event.kind)) state.expected -= ids.filter((id) => before.get(id) === "out").length;
}

function move(page, state, entry, id) {
  const { event } = entry;
  if (!state.people.has(id)) state.people.set(id, { id, name: event.name ?? "unknown person", where: "expected", party: "", added: true });
  const person = state.people.get(id);
  const to = event.kind === "joined" ? (state.departed ? "out" : "here") : page.steps[event.kind]?.[person.where];
  if (to) Object.assign(person, { where: to, entry });
  if (!ON_TRAIL.includes(person.where)) person.party = "";
}

const ON_TRAIL = ["out", "left early, not confirmed"];

// other are the records that move nobody.
const other = {
  counted: (state, event) => judge(state, event, event.party ?? "", event.number, event.sweep),
  split, rejoined, missing, found, unwell,
  "search-step": (state, event, page) => {
    if (!state.search) return;
    state.search.steps[event.step] ??= event.at;
    if (event.step === page.back_check && event.trouble) state.search.failed ??= event.at;
  },
  told: (state, event) => {
    if (state.search) state.search.told = [...(state.search.told ?? []), event.to];
  },
  water() {}, stock() {}, "in-charge"() {}, thunder() {}, "plate-seen"() {}, "car-gone"() {}, delayed() {},
};

// expectedIn is the number that a count of a party should give, "" for everyone.
export function expectedIn(state, party) {
  if (party === "") return state.expected;
  return (state.parties.get(party) ?? 0) + at(state, "out").filter((person) => person.party === party).length;
}

// judge says a wrong count at once: on the trail nobody can wait for signal.
function judge(state, { place }, party, number, sweep) {
  const given = [["leader", number], ["sweep", sweep]].filter(([, n]) => n > 0);
  const expected = expectedIn(state, party);
  if (given.every(([, n]) => n === expected)) {
    // It settles earlier ones: its own party's, or everybody's.
    state.alerts = state.alerts.filter((alert) => !alert.count || (party !== "" && alert.party !== party));
    return;
  }
  const said = given.map(([who, n]) => `the ${who} counted ${n}`).join(" and ");
  const whose = party === "" ? "" : `${party}: `;
  state.alerts.push({ title: "The count is not right", count: true, party, text: `${whose}At ${place} ${said}, and ${expected} are expected. Stop in shade and count by name.` });
}

const everyone = (part) => [...new Set([...(part.staff ?? []), ...(part.persons ?? [])])];

function unparty(state) {
  state.parties = new Map();
  for (const person of state.people.values()) person.party = "";
}

// split makes parties. One without staff and number of its own is told now, not when they
// meet again.
function split(state, event) {
  unparty(state);
  for (const part of event.parties ?? []) {
    const list = everyone(part);
    for (const id of list) {
      const person = state.people.get(id);
      if (person?.where === "out" && person.party === "") person.party = part.name;
    }
    state.parties.set(part.name, Math.max(0, (part.number ?? 0) - list.length));
    const staff = list.filter((id) => state.people.get(id)?.staff).length;
    if (staff === 0 || !part.number) state.alerts.push({ title: "Split without staff or number", party: part.name, text: `${part.name}: a party needs its own staff and its own number before it leaves ${event.place}.` });
    else if (staff < 2) state.alerts.push({ title: "Party with one of staff alone", party: part.name, text: `${part.name}: agree by name who is the second adult, or walk together.` });
  }
  const numbers = (event.parties ?? []).map((part) => part.number ?? 0);
  if (numbers.every((n) => n > 0)) judge(state, event, "", numbers.reduce((a, b) => a + b, 0));
}

function rejoined(state, event) {
  const parts = event.parties ?? [];
  for (const part of parts) if (part.number) judge(state, event, part.name, part.number);
  const wrong = state.alerts.some((alert) => alert.count);
  if (!wrong && parts.every((part) => part.number)) judge(state, event, "", parts.reduce((sum, part) => sum + part.number, 0));
  state.alerts = state.alerts.filter((alert) => !/staff alone/.test(alert.title));
  unparty(state);
}

// missing begins a search, or adds to the one that is open.
function missing(state, event) {
  if (!searching(state)) state.search = { began: event.at, persons: [], number: 0, factors: [], steps: {}, found: [] };
  const search = state.search;
  search.persons = [...new Set([...search.persons, ...(event.persons ?? [])])];
  search.number = Math.max(search.number ?? 0, event.number ?? 0, search.persons.length);
  search.factors = [...new Set([...(search.factors ?? []), ...(event.factors ?? [])])];
  for (const id of search.persons) {
    if (state.people.get(id)?.minor) search.factors.push("a child");
    if (state.people.get(id)?.acts) search.factors.push("ill, or on medicine they need");
  }
  search.factors = [...new Set(search.factors)];
}

function found(state, event) {
  if (state.search) state.search.found = [...(state.search.found ?? []), ...(event.persons ?? [])];
}

// searching reports whether somebody is still missed.
export function searching(state) {
  const { search } = state;
  if (!search) return false;
  if (search.number > search.persons.length && search.found.length < search.number) return true;
  return search.persons.some((id) => !search.found.includes(id) && ["expected", "here", ...ON_TRAIL].includes(state.people.get(id)?.where));
}

// nextHearer is who is to hear next that they are found, undefined when all have.
export const nextHearer = (page, state) => page.hearers.find((who) => !(state.search?.told ?? []).includes(who));

// callAt is when help is called: at once where a factor says so, else when the back-check
// fails or has taken too long.
export function callAt(page, search) {
  if (search.factors?.length > 0) return new Date(search.began);
  return search.failed ? new Date(search.failed) : new Date(new Date(search.began).getTime() + page.check_minutes * 60000);
}

function unwell(state, event, page) {
  const urgent = event.signs.filter((sign) => page.urgent.includes(sign));
  for (const id of event.persons) Object.assign(state.people.get(id) ?? {}, { acts: true });
  state.care.push({ signs: urgent.length > 0 ? urgent : event.signs.slice(0, 1), all: event.signs, persons: event.persons, at: event.at });
}

// blocked says why the party may not leave without a written reason, by this phone's
// marks; the rule is the server's.
export function blocked(page, state) {
  const here = at(state, "here");
  const staff = here.filter((person) => person.staff).length;
  const open = at(state, "expected").map((person) => person.name);
  if (open.length > 0) return `No answer yet: ${open.join(", ")}. Mark each here or not here.`;
  if (!here.some((person) => person.role === "leader")) return "The leader is not marked here.";
  if (staff < page.fewest_staff) return `A party needs ${page.fewest_staff} staff at the trailhead; ${staff} marked here.`;
  const walkers = here.length - staff;
  if (walkers > staff * page.ratio) return `${walkers} walkers need ${Math.ceil(walkers / page.ratio)} staff, 1 to ${page.ratio}; ${staff} are here.`;
  return page.on_call ? "" : "Nobody is named as on call: an alarm that nobody answers is worth nothing.";
}
