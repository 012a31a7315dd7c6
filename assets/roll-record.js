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
// here leave with a departure.
export function eventOf(form, kind, here) {
  const data = new FormData(form);
  const text = (name) => (data.get(name) ?? "").trim();
  const list = (name) => data.getAll(name).filter(Boolean);
  const made = {
    id: uuid(), kind, at: new Date().toISOString(), device: device(), persons: list("person"), buddies: list("buddy"),
    number: whole(text("leader")), sweep: whole(text("sweep")), place: text("place"), to: text("going"), note: text("reason"), name: text("name"),
  };
  if (kind === "undone") Object.assign(made, { retracts: text("event"), persons: [] });
  if (kind === "joined") Object.assign(made, { persons: [uuid()], note: answers(form, data) });
  if (kind === "departed") Object.assign(made, { persons: here, number: here.length, place: "trailhead" });
  return Object.fromEntries(Object.entries(made).filter(([, value]) => value !== "" && value !== undefined && value.length !== 0));
}

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
  const open = asked(form).filter((field) => field.name !== "leader" && (field.ariaRequired === "true" || /radio|checkbox/.test(field.type)) && !data.get(field.name));
  const labels = new Set(open.map(label));
  return labels.size > 0 ? `Still to answer: ${[...labels].join(", ")}.` : "";
}

function device() {
  localStorage["saltbush-device"] ??= `phone ${uuid().slice(0, 8)}`;
  return localStorage["saltbush-device"];
}
