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
  const state = { people: new Map(), departed: page.departed, expected: page.expected, alerts: [], taken: new Set() };
  for (const row of served.querySelectorAll("[data-part=start] [data-person]")) {
    const { person, where, role, staff } = row.dataset;
    state.people.set(person, { id: person, name: nameIn(row), where, role, staff: staff !== undefined });
  }
  for (const { event } of unseen(page, entries)) if (event.kind === "undone") state.taken.add(event.retracts);
  for (const entry of effective(page, entries)) apply(page, state, entry);
  return state;
}

// at lists the people who are at one of the places.
export const at = (state, ...places) => [...state.people.values()].filter((person) => places.includes(person.where));

function apply(page, state, entry) {
  const { event } = entry;
  const ids = [...(event.persons ?? []), ...(event.buddies ?? [])];
  for (const id of ids) move(page, state, entry, id);
  if (event.kind === "departed" && !state.departed) Object.assign(state, { departed: true, expected: ids.length });
  if (event.kind === "joined" && state.departed) state.expected += 1;
  if (event.kind === "left-early") state.expected -= ids.length;
  if (event.kind === "counted") judge(state, event);
}

function move(page, state, entry, id) {
  const { event } = entry;
  if (!state.people.has(id)) state.people.set(id, { id, name: event.name ?? "unknown person", where: "expected", added: true });
  const person = state.people.get(id);
  const to = event.kind === "joined" ? (state.departed ? "out" : "here") : page.steps[event.kind]?.[person.where];
  if (to) Object.assign(person, { where: to, entry });
}

// judge says a wrong count at once: on the trail nobody can wait for signal.
function judge(state, { number, sweep, place }) {
  const given = [["leader", number], ["sweep", sweep]].filter(([, n]) => n > 0);
  if (given.every(([, n]) => n === state.expected)) {
    state.alerts = []; // it settles an earlier one
    return;
  }
  const said = given.map(([who, n]) => `the ${who} counted ${n}`).join(" and ");
  state.alerts.push({ title: "The count is not right", text: `At ${place} ${said}, and ${state.expected} are expected. Stop in shade and count by name.` });
}

// blocked says why the party may not leave without a written reason, by this phone's
// marks; the rule is the server's.
export function blocked(page, state) {
  const here = at(state, "here");
  const staff = here.filter((person) => person.staff).length;
  if (!here.some((person) => person.role === "leader")) return "The leader is not marked here.";
  if (staff < page.fewest_staff) return `A party needs ${page.fewest_staff} staff at the trailhead; ${staff} marked here.`;
  return page.on_call ? "" : "Nobody is named as on call: an alarm that nobody answers is worth nothing.";
}
