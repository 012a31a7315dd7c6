// The hand-over sheet from this phone: what rescuers ask for, as far as this phone knows.

const find = (selector, within) => within.querySelector(selector);

export function sheet({ clock, page, stepText }) {
  // where adds the position to a place that the trail knows.
  function where(place) {
    const at = page().places[place];
    return at ? `${place || "a place not given"} (WGS84 ${at.decimal}; ${at.minutes})` : place || "a place not given";
  }

  const seen = (one) => (one ? `${where(one.place)}, ${clock(one.at)}` : "never");

  function* missing(state) {
    const search = state.search?.open.length > 0 || state.search?.unnamed > 0 ? state.search : undefined;
    if (!search) {
      for (const name of state.missing ?? []) yield ["Not accounted for", name];
      return;
    }
    yield ["Missing", `${search.who.join(", ")}, since ${clock(search.began)}`];
    for (const id of search.open) {
      const person = state.people.get(id);
      yield [person.name, `last seen or counted: ${seen(person.last)}`];
    }
    if (search.seen) yield ["Last seen", `${where(search.seen.place)}${search.seen.at ? `, ${clock(search.seen.at)}` : ""}, by ${search.seen_by || "a person not named"}`];
    if (search.said) yield ["What they said", search.said];
    yield ["What makes it urgent", search.factors?.join(", ") || "nothing known"];
    yield ["Call for help", search.call_now ? `now, due since ${clock(search.call_at)}` : `at ${clock(search.call_at)} at the latest`];
    for (const tick of search.steps) yield [`Step ${tick.step}, ${clock(tick.at)}, ${tick.by}`, stepText(tick.step)];
  }

  function* others(state) {
    const { sums } = state;
    if (state.last_agreed) yield ["Last count that agreed", `${state.last_agreed.expected} at ${where(state.last_agreed.place)}, ${clock(state.last_agreed.at)}`];
    yield ["The others", `${sums.expected} should be together${sums.left_early ? `; ${sums.left_early} left early` : ""}`];
    for (const party of state.parties) yield [party.name, `${party.expected} people${party.meet ? `; meet at ${party.meet}` : ""}`];
    for (const group of state.early ?? []) if (group.open?.length > 0) yield ["Left early, not confirmed", `${group.names.join(", ")}: left ${seen(group.left)} for ${group.to || "a place not given"}`];
    for (const { topic, text, at, by } of state.noted ?? []) yield [topic[0].toUpperCase() + topic.slice(1), `${text} (noted by ${by}, ${clock(at)})`];
    for (const care of state.care ?? []) yield ["Unwell", `${care.names.join(", ")}, ${clock(care.at)}: ${care.signs.join(", ")}`];
  }

  // drawSheet fills in the hand-over once the party has left.
  return function drawSheet(next, state, asOf, noSignal) {
    const box = find(".Roll-sheet", next);
    if (!box) return;
    box.hidden = (!state.departed && !state.search) || state.all_accounted;
    if (box.hidden) return;
    if (noSignal) find(".Roll-links a[href$='/hand-over']", next).href = "#sheet"; // the server's page needs signal
    find("[data-slot=as-of]", box).textContent = asOf;
    find("[data-slot=lines]", box).replaceChildren(...[...missing(state), ...others(state)].map(([label, words]) => {
      const line = document.createElement("div");
      line.append(Object.assign(document.createElement("dt"), { textContent: label }), Object.assign(document.createElement("dd"), { textContent: words }));
      return line;
    }));
  };
}
