// Draws the trailhead part: the rows of people and the checks before leaving.

const find = (selector, within) => within.querySelector(selector);
const findAll = (selector, within) => [...within.querySelectorAll(selector)];

// rows makes the functions from the tools of the page.
export function rows({ root, page, clock, copyOf, entryOf }) {
  function drawRows(list, state) {
    const rows = new Map(findAll("[data-person]", list).map((row) => [row.dataset.person, row]));
    const where = list.closest("[data-part]").dataset.part;
    for (const person of state.people.values()) {
      if (!rows.has(person.id)) list.append(newRow(list, person));
      const row = find(`[data-person="${CSS.escape(person.id)}"]`, list);
      const own = entryOf(person.mark);
      if (own || person.where !== row.dataset.where || Boolean(state.departed) !== page().departed) redraw(row, person, where, state.departed);
      row.dataset.where = person.where;
      drawConflicts(row, person, state.flags);
      mark(row, own?.state ?? "sent");
    }
  }

  // drawConflicts says at the row itself that records about the person contradict each other.
  function drawConflicts(row, person, flags) {
    for (const old of findAll("[data-conflict]", row)) old.remove();
    for (const { kind, settle, persons } of flags) {
      if (!settle || !persons?.includes(person.id)) continue;
      const line = copyOf("[data-conflict]");
      find("span", line).textContent = `${kind[0].toUpperCase()}${kind.slice(1)}: choose the right record at the top.`;
      find(".Roll-name", row).after(line);
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
      find(".Roll-state > span:last-child", stamp).textContent = noteOf(person);
      find(".Roll-who", row).append(stamp);
    }
    act(row, person, where, departed);
  }

  // noteOf says since when somebody is where they are, as the server does.
  function noteOf({ where, since, last }) {
    let note = since ? clock(since) : "";
    if (where === "left early, not confirmed") note += ", not yet known to be at the car";
    if (where === "out" && last?.place) note += `, last counted at ${last.place} ${clock(last.at)}`;
    return note;
  }

  // act gives a row the buttons of where the person now is.
  function act(row, person, where, departed) {
    find("form", row)?.remove();
    if (!page().open) return;
    const form = copyOf(`[data-act="${where}"][data-where="${CSS.escape(person.where)}"][data-departed="${departed ? "departed" : ""}"]`);
    if (!form) return;
    find("[name=person]", form).value = person.id;
    const undo = find("button[value=undo]", form);
    if (undo && !person.alone) return; // it would take back others too
    find("[name=event]", form).value = undo ? person.mark : "";
    for (const about of findAll(".unseen", form)) about.textContent = person.name;
    row.append(form);
  }

  function mark(row, state) {
    find(".Roll-state", row)?.append(copyOf(`[data-mark=${state}]`));
  }

  const points = (list, words) => list.replaceChildren(...words.map((text) => Object.assign(document.createElement("li"), { textContent: text })));

  // gateOf returns the checks for the route that is chosen.
  function gateOf(state) {
    return find("[name=route]:checked", root)?.value === "short" ? state.short : state.full;
  }

  // drawGate shows the checks before leaving by the records on this phone.
  function drawGate(next, state, asOf) {
    const box = find(".Roll-gate", next);
    if (!box) return;
    box.hidden = Boolean(state.departed);
    for (const key of ["water-all", "water", "stock", "charge"]) {
      const form = find(`[data-form=${key}]`, next);
      if (form) form.hidden = box.hidden;
    }
    const { checks, water } = gateOf(state);
    find("p", box).textContent = asOf;
    find(".Roll-checks", box).replaceChildren(...checks.map(({ title, grade, words }) => {
      const line = copyOf(`[data-grade="${grade}"]`);
      find("b", line).textContent = title;
      find("p", line).textContent = words;
      return line;
    }));
    const list = find(".Roll-water ul", box);
    if (list && water) points(list, water);
  }

  // drawDeparture asks for a reason where a check stops the party.
  function drawDeparture(next, state) {
    const box = find(".Roll-depart", next);
    if (!box) return;
    box.hidden = Boolean(state.departed);
    const { blocked = "" } = gateOf(state);
    find(".Roll-blocked", box).hidden = find(".Roll-reason", box).hidden = blocked === "";
    if (blocked) find(".Roll-blocked .Note > p:last-child", box).textContent = blocked;
    find("button[value=departed]", box).textContent = state.leave;
    const note = find(".Roll-missing", box);
    const line = note && findAll("li", note).find((item) => item.textContent.startsWith("No answer yet"));
    if (!line) return;
    line.hidden = !state.unmarked;
    line.textContent = `No answer yet: ${(state.unmarked ?? []).join(", ")}. Mark each here or not here.`;
    note.hidden = findAll("li:not([hidden])", note).length === 0;
  }

  return { drawRows, drawGate, drawDeparture, gateOf };
}
