package browsertest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/site/sitetest"
)

// phoneView is what a phone shows by itself, on which it must agree with the server.
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
func viewOf(s party.State) phoneView {
	v := phoneView{
		Where:    map[string]string{},
		Party:    map[string]string{},
		Departed: !s.Departed.IsZero(),
		Expected: s.Expected,
		InParty:  map[string]int{},
	}
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

// foldOnThePhone folds a list of days with the phone's own script.
const foldOnThePhone = `(async () => {
	const root = document.getElementById("roll");
	const folding = await import(root.dataset.fold);
	const page = JSON.parse(root.dataset.offline);
	return JSON.stringify(%s.map((events) => {
		const entries = events.map((event) => ({ by: page.by, url: page.url, state: "waits", event }));
		const state = folding.fold({ ...page, known: [] }, root, entries);
		const people = [...state.people.values()];
		const open = folding.searching(state);
		const parties = [...state.parties.keys()];
		return {
			where: Object.fromEntries(people.map((p) => [p.id, p.where])),
			party: Object.fromEntries(people.map((p) => [p.id, p.party])),
			departed: state.departed,
			expected: state.departed ? state.expected : 0,
			in_party: Object.fromEntries(parties.map((name) => [name, folding.expectedIn(state, name)])),
			searching: open,
			call_at: open ? folding.callAt(page, state.search).toISOString().replace(".000", "") : "",
		};
	}));
})()`

// The phone folds drawn days as the server does, for all that it shows.
func TestPhoneAndServerFoldAlike(t *testing.T) {
	t.Parallel()
	seeds := uint64(60)
	if sitetest.Long() {
		seeds = 600
	}
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	for i := range 5 {
		sitetest.AddSignUp(t, s.DB, sitetest.Walker(fmt.Sprintf("Walker %c Holt", 'A'+i), "walker@example.org"))
	}
	p := openPhone(t, newAirwave(t, s.URL), sitetest.Leader, "")
	rec := s.Roll(t, 1)
	var days [][]party.Event
	for seed := range seeds {
		d := diary{at: time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)}
		d.day(rand.New(rand.NewPCG(seed, 7)), rec.Roster)
		days = append(days, d.events)
	}
	given, err := json.Marshal(days)
	if err != nil {
		t.Fatal(err)
	}
	var got []phoneView
	folded := p.Ask(fmt.Sprintf(foldOnThePhone, given))
	if err := json.Unmarshal([]byte(folded), &got); err != nil || len(got) != len(days) {
		t.Fatalf("%d days of %d: %v", len(got), len(days), err)
	}
	for i, events := range days {
		if diff := cmp.Diff(viewOf(party.Fold(rec.Roster, events)), got[i]); diff != "" {
			t.Errorf("day %d (-server +phone):\n%s\n%s", i, diff, story(events))
		}
	}
}

// story lists the events of a day for messages.
func story(events []party.Event) string {
	var b strings.Builder
	for _, e := range events {
		fmt.Fprintf(&b, "%s %s %v %v %d/%d %+v\n",
			e.At.Format("15:04"), e.Kind, e.Persons, e.Buddies, e.Number, e.Sweep, e.Parties)
	}
	return b.String()
}
