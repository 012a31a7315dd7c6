// Drawing what goes on away from the trailhead: parties, a search, somebody who is not well.

const find = (selector, within) => within.querySelector(selector);
const findAll = (selector, within) => [...within.querySelectorAll(selector)];
const slot = (box, name) => find(`[data-slot="${name}"]`, box);

// drawing makes the functions from the tools of the page.
export function drawing({ root, at, clock, copyOf }) {
  // drawTicks shows the boxes of those who are where the list is about, with one for each
  // whom the server's page does not have yet.
  function drawTicks(box, state) {
    const places = box.dataset.ticks.split("|");
    if (places[0] === "") return; // no list of people
    const model = find("[data-tick]", box);
    for (const person of state.people.values()) {
      let tick = find(`[data-tick="${CSS.escape(person.id)}"]`, box);
      if (!tick && model) {
        tick = model.cloneNode(true);
        tick.dataset.tick = find("input", tick).value = person.id;
        find("span", tick).textContent = person.name;
        box.append(tick);
      }
      if (!tick) continue;
      tick.hidden = !places.includes(person.where);
      if (box.closest("[data-form=water]") && person.water_litres !== undefined) note(tick, `seen: ${person.water_litres} L`);
      if (box.closest("[data-form=rejoin]")) note(tick, person.party ?? "");
      if (box.closest("[data-form=charge]")) note(tick, person.with ? `with ${person.with}` : "nobody yet");
    }
  }

  // note writes the small words below a name.
  function note(tick, words) {
    const small = find("small", tick) ?? document.createElement("small");
    small.textContent = words;
    if (words !== "" && !small.parentNode) find("span", tick).append(small);
    if (words === "") small.remove();
  }

  // drawParties offers what goes with parties while there are some.
  function drawParties(next, state) {
    const form = find("[data-form=rejoin]", next);
    if (!form) return;
    const names = state.parties.map((party) => `${party.name}, ${party.expected} expected`);
    form.hidden = names.length === 0;
    findAll(".Roll-party", form).forEach((box, i) => {
      box.hidden = i >= names.length;
      find("[name=party_name]", box).value = state.parties[i]?.name ?? "";
      if (names[i]) find(".Field-label", box).textContent = `${names[i]}: counted`;
    });
    const split = find("[data-form=split]", next);
    split.hidden = at(state, "out").length < 4;
    find("[data-form=at-car]", next).hidden = at(state, "left early, not confirmed").length === 0;
    find("[data-form=again]", next).hidden = at(state, "left early, not confirmed", "left early, safe at the car").length === 0;
    const which = find("#count-party", next);
    if (!which) return;
    which.replaceChildren(which.options[0], ...state.parties.map((party, i) => new Option(names[i], party.name)));
    which.closest(".Roll-ofparty").hidden = names.length === 0;
  }

  // drawSearch shows the search by what this phone knows, without signal too.
  function drawSearch(next, state, page) {
    const box = find(".Roll-search", next);
    const { search } = state;
    const open = search !== undefined && !search.ended;
    const named = find("[data-form=named]", next);
    const asks = find("[data-form=found]", next);
    if (asks) asks.hidden = !open;
    if (named) named.hidden = !open;
    const tell = find("[data-form=told]", box);
    const hearer = search?.next;
    if (tell) tell.hidden = !(search?.found?.length > 0) || !hearer;
    if (tell && hearer) {
      find("[name=going]", tell).value = hearer;
      find(".Section-title", tell).textContent = `Found: tell the ${hearer} now`;
      find("button", tell).textContent = `Told the ${hearer}`;
    }
    if (!open) {
      box.hidden = !search;
      delete box.dataset.running;
      if (!box.hidden) find(".Note-title", box).textContent = "Found: searchers, then on-call, then the family hear of it";
      return;
    }
    box.hidden = false;
    box.dataset.began = search.began;
    box.dataset.running = "";
    slot(box, "who").textContent = search.who.join(", ");
    slot(box, "since").textContent = `missed since ${clock(search.began)}`;
    const [title, text] = findAll("p", find(".Roll-call", box));
    const now = search.call_now;
    title.textContent = now ? "Call for help now" : `Call at ${clock(search.call_at)} at the latest`;
    find(".Note", find(".Roll-call", box)).className = `Note Note--${now ? "grave" : "caution"}`;
    text.textContent = search.factors?.length > 0 ? `Because: ${search.factors.join(", ")}. Any one of these makes it most urgent.`
      : now ? "The back-check has not brought them back." : "One back-check first. If it comes back without them, call at once.";
    for (const line of findAll("[data-step]", box)) {
      const done = search.steps.find((tick) => String(tick.step) === line.dataset.step);
      const said = find(".Roll-done", line);
      if (!done || !said.hidden) continue;
      said.hidden = false;
      said.textContent = Number(line.dataset.step) === page.back_check && search.failed ? `Came back without them ${clock(search.failed)}` : `Done ${clock(done.at)}, ${done.by}`;
      if (said.nextElementSibling) said.nextElementSibling.hidden = true;
    }
  }

  // drawCare shows what to do for people who are unwell, first on its part of the page.
  function drawCare(next, state) {
    for (const old of findAll(".Roll-care", next)) old.remove();
    for (const { names, at: when, signs, emergency, title, do: steps } of [...(state.care ?? [])].reverse()) {
      const card = copyOf(`[data-care=${emergency ? "emergency" : "watch"}]`);
      const [head, text] = findAll("p", card);
      head.textContent = title;
      text.textContent = `${names.join(", ")}, ${clock(when)}: ${signs.join(", ")}.`;
      find("ul", card).replaceChildren(...steps.map((step) => Object.assign(document.createElement("li"), { textContent: step })));
      find(".Roll-search", next).after(card);
    }
  }

  // count shows how long somebody has been missed.
  function count() {
    const box = find(".Roll-search", root);
    if (!box || box.hidden || box.dataset.running === undefined) return;
    const minutes = Math.max(0, Math.floor((Date.now() - new Date(box.dataset.began)) / 60000));
    const text = minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")}`;
    const shown = slot(box, "elapsed");
    if (shown.textContent !== text) shown.textContent = text;
  }

  // say puts a record into words.
  function say(event, nameOf) {
    const names = (event.persons ?? []).map((id) => event.name ?? nameOf(id)).join(", ");
    const at = clock(event.at);
    if (event.kind === "counted") return `Count at ${event.place}: leader ${event.number ?? "-"}, sweep ${event.sweep ?? "-"}, ${at}`;
    if (event.kind === "departed") return `Departed with ${event.number}, ${at}`;
    if (event.kind === "undone") return `A record taken back, ${at}`;
    if (event.kind === "search-step") return `Search step ${event.step}, ${at}`;
    if (["split", "rejoined"].includes(event.kind)) return `${event.kind === "split" ? "Split" : "Together again"}: ${(event.parties ?? []).map((part) => `${part.name} ${part.number ?? "-"}`).join(", ")}, ${at}`;
    if (event.kind === "water") return `${names}: ${event.litres ?? 0} L of water, ${at}`;
    if (names === "") return `${event.kind.replace("-", " ")} ${(event.plates ?? [event.to ?? ""]).join(", ")}, ${at}`;
    return `${names}: ${event.kind.replace("-", " ")}, ${at}`; // a kind is a word or two
  }

  return { say, drawTicks, drawParties, drawSearch, drawCare, count };
}
