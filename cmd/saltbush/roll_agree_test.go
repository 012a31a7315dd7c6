package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/roll"
)

// phoneView is what a phone shows by itself, and must agree on with the server.
type phoneView struct {
	Where     map[string]string `json:"where"`
	Party     map[string]string `json:"party"`
	Departed  bool              `json:"departed"`
	Expected  int               `json:"expected"`
	InParty   map[string]int    `json:"in_party"`
	Searching bool              `json:"searching"`
	CallAt    string            `json:"call_at"`
}

// viewOf is the same of the server's state.
func viewOf(s roll.State) phoneView {
	v := phoneView{Where: map[string]string{}, Party: map[string]string{}, Departed: !s.Departed.IsZero(), Expected: s.Expected, InParty: map[string]int{}}
	for _, p := range s.People {
		v.Where[string(p.ID)], v.Party[string(p.ID)] = string(p.Where), p.Party
	}
	for _, p := range s.Parties {
		v.InParty[p.Name] = p.Expected
	}
	if search, open := s.Searching(); open {
		v.Searching, v.CallAt = true, search.CallAt().UTC().Format(time.RFC3339)
	}
	return v
}

const foldOnThePhone = `(async () => {
	const root = document.getElementById("roll");
	const folding = await import(root.dataset.fold);
	const page = JSON.parse(root.dataset.offline);
	return JSON.stringify(%s.map((events) => {
		const entries = events.map((event) => ({ by: page.by, url: page.url, state: "waits", event }));
		const state = folding.fold({ ...page, known: [] }, root, entries);
		const people = [...state.people.values()];
		const open = folding.searching(state);
		return {
			where: Object.fromEntries(people.map((p) => [p.id, p.where])), party: Object.fromEntries(people.map((p) => [p.id, p.party])),
			departed: state.departed, expected: state.departed ? state.expected : 0,
			in_party: Object.fromEntries([...state.parties.keys()].map((name) => [name, folding.expectedIn(state, name)])),
			searching: open, call_at: open ? folding.callAt(page, state.search).toISOString().replace(".000", "") : "",
		};
	}));
})()`

// diary writes events one minute after the other, as one phone does.
type diary struct {
	at     time.Time
	n      int
	events []roll.Event
}

func (d *diary) add(k roll.Kind, change func(*roll.Event)) {
	d.n++
	d.at = d.at.Add(time.Minute)
	e := roll.Event{ID: roll.EventID(fmt.Sprintf("00000000-0000-4000-9000-%012d", d.n)), Kind: k, At: d.at, By: "Ash Moreno", Place: "Wash"}
	if change != nil {
		change(&e)
	}
	d.events = append(d.events, e)
}

func (d *diary) people(k roll.Kind, ids ...roll.PersonID) {
	d.add(k, func(e *roll.Event) { e.Persons = ids })
}

// day draws a plausible day: all are marked, they leave, and then things happen that the
// forms of the page can record. Every person is somewhere in it.
func (d *diary) day(r *rand.Rand, roster roll.Roster) {
	var ids []roll.PersonID
	for _, e := range roster {
		ids = append(ids, e.ID)
	}
	here := ids[:len(ids)-r.IntN(3)]
	for _, id := range here {
		d.people(roll.KindHere, id)
	}
	if r.IntN(2) == 0 {
		d.people(roll.KindAbsent, ids[len(here):]...)
	}
	d.add(roll.KindDeparted, func(e *roll.Event) { e.Persons, e.Number = here, len(here) })
	for range 3 + r.IntN(12) {
		d.happens(r, here)
	}
}

func (d *diary) happens(r *rand.Rand, here []roll.PersonID) {
	some := func() []roll.PersonID {
		list := slices.Clone(here)
		r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		return list[:1+r.IntN(3)]
	}
	switch r.IntN(12) {
	case 0:
		d.add(roll.KindCounted, func(e *roll.Event) { e.Number, e.Sweep = len(here)-r.IntN(2), r.IntN(len(here)+1) })
	case 1:
		d.add(roll.KindLeftEarly, func(e *roll.Event) {
			two := some()
			e.Persons, e.To, e.Minutes = two[:1], "car", 40
			e.Buddies = two[1:]
		})
	case 2:
		d.people(roll.KindAtCar, some()...)
	case 3, 4:
		d.add(roll.KindSplit, func(e *roll.Event) {
			cut := 1 + r.IntN(len(here)-1)
			e.Parties = []roll.Part{{Name: "front", Persons: here[:cut], Number: r.IntN(len(here))}, {Name: "back", Persons: here[cut:], Number: len(here) - cut}}
		})
	case 5:
		d.add(roll.KindRejoined, func(e *roll.Event) {
			e.Parties = []roll.Part{{Name: "front", Number: 2}, {Name: "back", Number: 1 + r.IntN(3)}}
		})
	case 6:
		d.add(roll.KindMissing, func(e *roll.Event) {
			e.Persons = some()
			if r.IntN(2) == 0 {
				e.Factors = []roll.Factor{roll.FactorHeat}
			}
		})
	case 7:
		d.people(roll.KindFound, some()...)
	case 8:
		d.add(roll.KindStep, func(e *roll.Event) { e.Step, e.Trouble = roll.BackCheck, r.IntN(2) == 0 })
	case 9:
		d.people(roll.KindBack, some()...)
	case 11:
		left := map[roll.PersonID]bool{}
		for _, e := range d.events {
			for _, id := range append(slices.Clone(e.Persons), e.Buddies...) {
				left[id] = e.Kind == roll.KindLeftEarly || e.Kind == roll.KindAtCar
			}
		}
		for _, id := range here {
			if left[id] {
				d.add(roll.KindJoined, func(e *roll.Event) { e.Persons, e.Name = []roll.PersonID{id}, "back again" })
				return
			}
		}
	case 10:
		// A departure is not taken back here: what the trail records without one is no day that
		// the forms can make, and the phone does not follow it.
		if last := d.events[len(d.events)-1]; last.Kind != roll.KindUndone && last.Kind != roll.KindDeparted {
			d.add(roll.KindUndone, func(e *roll.Event) { e.Retracts = last.ID })
		}
	}
}

// The phone's fold is the server's for all that it shows.
func TestPhoneAndServerFoldAlike(t *testing.T) {
	p := serveForTwo(t)
	for i := range 5 {
		addWalker(t, p, fmt.Sprintf("Walker %c Holt", 'A'+i))
	}
	v := leads(t, newAirwave(t, p.base), "leads@example.org", "")
	rec := p.roll(t)
	var days [][]roll.Event
	for seed := range uint64(60) {
		d := diary{at: time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)}
		d.day(rand.New(rand.NewPCG(seed, 7)), rec.Roster)
		days = append(days, d.events)
	}
	given, err := json.Marshal(days)
	if err != nil {
		t.Fatal(err)
	}
	text, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](fmt.Sprintf(foldOnThePhone, given), chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	var got []phoneView
	if err := json.Unmarshal([]byte(text), &got); err != nil || len(got) != len(days) {
		t.Fatalf("%d days of %d: %v", len(got), len(days), err)
	}
	for i, events := range days {
		if diff := cmp.Diff(viewOf(roll.Fold(rec.Roster, events)), got[i]); diff != "" {
			t.Errorf("day %d (-server +phone):\n%s\n%s", i, diff, story(events))
		}
	}
}

func story(events []roll.Event) string {
	text := ""
	for _, e := range events {
		text += fmt.Sprintf("%s %s %v %v %d/%d %+v\n", e.At.Format("15:04"), e.Kind, e.Persons, e.Buddies, e.Number, e.Sweep, e.Parties)
	}
	return text
}
