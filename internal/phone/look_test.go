package phone_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	"saltbush/internal/party/partytest"
	"saltbush/internal/phone"
)

// morning is eight people who leave, of whom the last two go to the car and one is missed.
func morning() phone.Given {
	var s partytest.Script
	s.Out(8)
	s.Add(party.KindLeftEarly, 80, func(e *party.Event) {
		e.Persons, e.Buddies, e.Place = partytest.People(8, 8), partytest.People(7, 7), "Notch Junction"
		e.To, e.Minutes = "the cars", 30
	})
	s.Count(100, 6, 6, "Side Wash")
	s.Count(130, 5, 5, "Shade Rock")
	s.Add(party.KindMissing, 135, func(e *party.Event) {
		e.Persons, e.Place, e.SeenBy, e.SeenAt = partytest.People(4, 4), "Side Wash", "Walker 05", partytest.Clock(110)
		e.Note = "went to look at the view"
	})
	s.Add(party.KindStep, 140, func(e *party.Event) { e.Step = 1 })
	s.Add(party.KindUnwell, 141, func(e *party.Event) {
		e.Persons, e.Signs = partytest.People(5, 5), []party.Sign{party.SignCramps}
	})
	return phone.Given{
		Roster: partytest.Roster(8), Events: s.Events, Now: partytest.Clock(150),
		Terms: party.Terms{FewestStaff: 2, Ratio: 8, MinorsPerAdult: 3, OnCall: "Oren Vale"},
	}
}

func TestLookSaysWhoIsWhere(t *testing.T) {
	v := phone.Look(morning())
	if v.Headline != "8 out" || v.Sums.Expected != 5 || v.Sums.LeftEarly != 2 || v.Sums.Lost != 1 {
		t.Errorf("headline %q, sums %+v; want 8 out, 5 expected, 2 left early, 1 lost", v.Headline, v.Sums)
	}
	missed := v.People[3]
	if !missed.Missing || missed.Where != party.WhereOut || missed.Last.Place != "Side Wash" || missed.Alone {
		t.Errorf("%+v, want missed, last agreed at Side Wash, marked with others", missed)
	}
	if v.LastAgreed == nil || v.LastAgreed.Place != "Side Wash" || v.LastAgreed.Expected != 6 {
		t.Errorf("last agreed %+v, want 6 at Side Wash", v.LastAgreed)
	}
	if len(v.Flags) < 2 || !strings.HasPrefix(v.Flags[0].Words, "Walker 07, Walker 08: twice the expected walk") ||
		!v.Flags[1].Alarm || len(v.Flags[1].Claims) != 1 || v.Flags[1].Claims[0].By != "Walker 01" {
		t.Errorf("flags %+v, want the late pair, then the alarm with its record", v.Flags)
	}
	if len(v.Early) != 1 || !v.Early[0].Late || len(v.Early[0].Open) != 2 ||
		!v.Early[0].ConfirmBy.Equal(partytest.Clock(140)) {
		t.Errorf("early %+v, want one pair that is open and late", v.Early)
	}
	if len(v.Care) != 1 || v.Care[0].Emergency || !slices.Equal(v.Care[0].Names, []string{"Walker 05"}) {
		t.Errorf("care %+v, want one card for Walker 05, no emergency", v.Care)
	}
	if v.Newest != partytest.EventID(8) {
		t.Errorf("newest %s, want the last event", v.Newest)
	}
}

func TestLookShowsTheSearch(t *testing.T) {
	g := morning()
	s := phone.Look(g).Search
	if s == nil || !slices.Equal(s.Who, []string{"Walker 04"}) || s.CallNow || len(s.Steps) != 1 ||
		!s.CallAt.Equal(partytest.Clock(165)) || s.Said != "went to look at the view" || s.Next != "searchers" {
		t.Fatalf("search %+v; want one for Walker 04, a step done, a call at minute 165", s)
	}
	g.Now = partytest.Clock(165)
	if !phone.Look(g).Search.CallNow {
		t.Error("the time to call has come and the view does not say so")
	}
	g.Events = append(g.Events, party.Event{
		ID: partytest.EventID(50), Kind: party.KindFound, At: partytest.Clock(160), By: "Walker 01",
		Persons: partytest.People(4, 4), Place: "Side Wash",
	})
	if s := phone.Look(g).Search; s == nil || s.Ended.IsZero() || len(s.Found) != 1 || len(s.Open) != 0 {
		t.Errorf("search %+v; want it ended, and shown until all have heard", s)
	}
}

// The phone has what the server's page has: the gate with its words for the record.
func TestLookChecksTheDeparture(t *testing.T) {
	g := morning()
	g.Terms.OnCallReached, g.Terms.Decision = true, "It goes as planned."
	g.Events, g.Terms.Planned, g.Terms.Full.Need = g.Events[:1], true, 3
	g.Terms.Short = &party.Way{Name: "Shade Rock", Need: 0.2}
	g.Events = append(g.Events, party.Event{
		ID: partytest.EventID(60), Kind: party.KindWater, At: partytest.Clock(50), By: "Walker 01",
		Persons: partytest.People(6, 6), Litres: 0.3,
	})
	v := phone.Look(g)
	if want := []string{"too little water: Walker 06"}; !slices.Equal(v.Full.Against, want) || v.Short.Blocked != "" {
		t.Errorf("full against %q, short blocked %q; want %q, nothing", v.Full.Against, v.Short.Blocked, want)
	}
	if v.Leave != "Leave with 5 walkers and 3 staff: 8 out" || v.Headline != "8 of 8 here" {
		t.Errorf("leave %q, headline %q", v.Leave, v.Headline)
	}
}

// The texts that the page does not show are not needed for what it shows.
func TestViewNeedsNoMoreThanThePageShows(t *testing.T) {
	g := morning()
	g.Events = append(g.Events, party.Event{
		ID: partytest.EventID(70), Kind: party.KindJoined, At: partytest.Clock(30),
		By: "Walker 02", Name: "Pat Example",
		Persons: partytest.People(20, 20), Contact: "Kit Example, 555 0101", Note: "mobile 555 0102", Agreed: true,
		Device: "phone 2",
	}, party.Event{
		ID: partytest.EventID(71), Kind: party.KindReported, At: partytest.Clock(90), By: "Oren Vale",
		Note: "private words",
	})
	less := g
	less.Events = party.ForTheRoll(g.Events)
	if diff := cmp.Diff(phone.Look(g), phone.Look(less)); diff != "" {
		t.Errorf("(-all +less):\n%s", diff)
	}
	sent, err := json.Marshal(less)
	if err != nil {
		t.Fatal(err)
	}
	for _, private := range []string{"Kit Example", "555 0102", "private words", "phone 2"} {
		if strings.Contains(string(sent), private) {
			t.Errorf("the phone is given %q", private)
		}
	}
}

func TestAnswerNeverStops(t *testing.T) {
	for _, tt := range []struct{ name, given, want string }{
		{"no JSON", `{"roster":`, `{"error":`},
		{"a record that cannot be read", `{"events":[{"id":"1","kind":"here","number":2.5}]}`,
			`"headline":"0 of 0 here"`},
		{"nothing", `{}`, `"headline":"0 of 0 here"`},
	} {
		if got := string(phone.Answer([]byte(tt.given))); !strings.Contains(got, tt.want) {
			t.Errorf("%s: answer %s, want %s in it", tt.name, got, tt.want)
		}
	}
}

// The known case says something: a copy that works out nothing does not pass.
func TestKnownCaseIsNotEmpty(t *testing.T) {
	c, err := phone.KnownCase()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"headline":"4 out"`, `"search":{`, "count too low", `"expected":3`} {
		if !strings.Contains(c.Want, want) {
			t.Errorf("the known answer lacks %s: %s", want, c.Want)
		}
	}
}
