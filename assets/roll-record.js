// Makes a record of a form.

// randomUUID is only there over https and on this machine; a trailhead's plain network must
// not stop a tap from being kept (RFC 9562, section 5.4: version 4).
function uuid() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const hex = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  return hex.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
}

// eventOf makes a record of a form, as the server does where there are no scripts. Those who are
// here leave with a departure; state is what the phone knows of who is where.
export function eventOf(form, kind, here, state) {
  const data = new FormData(form);
  const text = (name) => (data.get(name) ?? "").trim();
  const list = (name) => data.getAll(name).filter(Boolean);
  const made = {
    id: uuid(), kind, at: new Date().toISOString(), device: device(), persons: list("person"), buddies: list("buddy"),
    number: whole(text("leader")), sweep: whole(text("sweep")), place: text("place"), to: text("going"), note: text("reason"), name: text("name"),
    party: text("party"), minutes: whole(text("minutes")), litres: number(text("litres")), gives_litres: number(text("gives")), route: text("route"),
    seen_by: text("seen_by"), seen_at: text("seen_ago") === "" ? "" : later(-Number(text("seen_ago"))), trouble: text("failed") !== "" || undefined,
    factors: list("factor"), signs: list("sign"), step: whole(text("step")), plates: list("plate"),
  };
  if (text("all") === "here") made.persons = here.filter((id) => state.people.get(id).water_litres === undefined);
  if (kind === "undone") Object.assign(made, { retracts: text("event"), persons: [] });
  if (kind === "joined" && data.has("person")) made.name = state.people.get(made.persons[0])?.name;
  else if (kind === "joined") Object.assign(made, { persons: [uuid()], note: answers(form, data), ...walkUp(text) });
  if (kind === "counted" && made.number === undefined && made.sweep === undefined && made.persons.length > 0) made.number = made.persons.length;
  if (kind === "split") made.parties = parted(text, list, state);
  if (kind === "rejoined") made.parties = met(data, list, state);
  if (kind === "departed") Object.assign(made, { persons: here, number: here.length, place: "trailhead" });
  return Object.fromEntries(Object.entries(made).filter(([, value]) => value !== "" && value !== undefined && value.length !== 0));
}

const walkUp = (text) => ({
  minor: text("age") === "minor" || undefined, agreed: text("agree") !== "" || undefined,
  contact: text("contact") && text("contact_tel") ? `${text("contact")}, ${text("contact_tel")}` : "",
});

const later = (minutes) => new Date(Date.now() + minutes * 60000).toISOString();
const out = (state) => [...state.people.values()].filter((person) => person.where === "out");

// part makes a party of people, leaving out what is not known.
function part(more, people) {
  const ids = (staff) => people.filter((person) => Boolean(person.staff) === staff).map((person) => person.id);
  const made = { ...more, staff: ids(true), persons: ids(false) };
  return Object.fromEntries(Object.entries(made).filter(([, value]) => value !== "" && value !== undefined && value.length !== 0));
}

// parted puts those who are ticked in the second party and all others who are out in the first.
function parted(text, list, state) {
  const second = new Set(list("second"));
  const meet = { meet: text("meet"), by: text("meet_in") === "" ? "" : later(Number(text("meet_in"))) };
  return [
    part({ name: text("first_name"), number: whole(text("first_number")), ...meet }, out(state).filter((person) => !second.has(person.id))),
    part({ name: text("second_name"), number: whole(text("second_number")), ...meet }, out(state).filter((person) => second.has(person.id))),
  ];
}

// met takes each party's number on meeting, and who is there by name.
function met(data, list, state) {
  const there = new Set(list("there"));
  const numbers = data.getAll("party_number");
  return data.getAll("party_name").map((name, i) => [name, numbers[i]]).filter(([name]) => name !== "").map(([name, number]) =>
    part({ name, number: whole(number ?? "") }, out(state).filter((person) => person.party === name && there.has(person.id))));
}

const number = (text) => (text === "" ? undefined : Number(text.replace(",", ".")));
const whole = (text) => (text === "" ? undefined : Number(text));
const label = (field) => field.closest(".Field")?.querySelector(".Field-label")?.textContent.trim() ?? field.name;
const asked = (form) => [...form.elements].filter((field) => field.name && !/hidden|submit|fieldset/.test(field.type) && !field.closest("[hidden]"));

// answers keeps what a walk-up said, until they have a sign-up of their own.
function answers(form, data) {
  const fields = new Map(asked(form).map((field) => [field.name, label(field)]));
  fields.delete("name");
  return [...fields].map(([name, words]) => `${words}: ${data.get(name) ?? ""}`).join("; ");
}

// missing says what a form lacks. The server judges again; this spares the leader a
// refusal hours later.
export function missing(form, made) {
  const data = new FormData(form);
  if (made.kind === "counted" && !(made.number > 0 || made.sweep > 0)) return "Write the leader's number, the sweep's or both.";
  if ([made.number, made.sweep].some((n) => n !== undefined && !Number.isInteger(n))) return "A count is a whole number.";
  if (made.buddies && made.buddies[0] === made.persons?.[0]) return "Nobody leaves alone: choose another person to walk with them.";
  if (["water", "stock"].includes(made.kind) && !(made.litres >= 0)) return "Enter the liters; 0 if there is none.";
  if (data.get("all") && !made.persons) return "The water of everybody here has been checked.";
  if (["water", "at-car", "named", "in-charge", "unwell"].includes(made.kind) && !made.persons) return "Tick who.";
  if (made.kind === "joined" && !made.persons) return "Choose who is back with the group.";
  if (made.kind === "found" && !made.persons && !(made.number > 0)) return "Tick who was found, or write how many.";
  if (made.kind === "missing" && !made.persons && !(made.number > 0)) return "Tick who is missing, or write how many.";
  if (made.kind === "unwell" && !made.signs) return "Tick what you see.";
  if (made.kind === "car-gone" && !made.plates) return "Tick which cars.";
  const open = asked(form).filter((field) => !/^(leader|party|party_number|first_number|second_number|minutes)$/.test(field.name) && !field.closest("[data-ticks]") && (field.ariaRequired === "true" || /radio|checkbox/.test(field.type)) && !data.get(field.name));
  const labels = new Set(open.map(label));
  return labels.size > 0 ? `Still to answer: ${[...labels].join(", ")}.` : "";
}

function device() {
  localStorage["saltbush-device"] ??= `phone ${uuid().slice(0, 8)}`;
  return localStorage["saltbush-device"];
}
