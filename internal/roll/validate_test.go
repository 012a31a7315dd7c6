package roll_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/unit"
)

// full returns an event that is valid for each of the older kinds.
func full(k party.Kind) party.Event {
	return party.Event{
		ID: eventID(1), Kind: k, At: clock(0), By: "Walker 01", Device: "phone 1", Name: "Pat Example",
		Persons: people(1, 1), Buddies: people(2, 2), Number: 5, Sweep: 5, Party: "fast", Place: "Wash", Along: 900,
		To: "car", Minutes: 30, Note: "why", Retracts: eventID(2),
		Parties: []party.Part{
			{Name: "fast", Staff: people(1, 1), Number: 2, Meet: "Saddle", By: clock(60)},
			{Name: "slow", Staff: people(2, 2), Persons: people(3, 4), Number: 3},
		},
	}
}

// fullMore is full with the fields of the later kinds.
func fullMore(k party.Kind) party.Event {
	e := full(k)
	e.Litres, e.Gives, e.Route, e.Against = 3.5, 0.5, party.RouteShort, []string{"nobody on call"}
	e.Minor, e.Contact, e.Agreed, e.SeenBy, e.SeenAt = true, "Teo Example, 555 0101 111", true, "Kit Example", clock(-5)
	e.Factors, e.Signs, e.Step, e.Plates = party.Factors()[:2], party.Signs()[:2], 4, []string{"ABC 123"}
	switch k {
	case party.KindTold:
		e.To = "searchers"
	case party.KindNoted:
		e.To = party.TopicDone
	}
	return e
}

func TestValidateAcceptsEveryKind(t *testing.T) {
	for _, k := range party.Kinds() {
		if err := roll.Validate(fullMore(k)); err != nil {
			t.Errorf("%s: %v", k, err)
		}
	}
}

func TestValidateSaysWhatAndWhere(t *testing.T) {
	tests := []struct {
		name   string
		kind   party.Kind
		change func(*party.Event)
		want   string
	}{
		{"unknown kind", "floated", func(*party.Event) {}, `kind "floated"`},
		{"id in capitals", party.KindHere, func(e *party.Event) { e.ID = "ABCDEFAB-0000-4000-8000-000000000001" },
			"here: id"},
		{"no id", party.KindHere, func(e *party.Event) { e.ID = "" }, "here: id"},
		{"no time", party.KindHere, func(e *party.Event) { e.At = time.Time{} }, "here: at is empty"},
		{"clock of 1970", party.KindHere, func(e *party.Event) { e.At = time.Unix(0, 0) }, "clock looks wrong"},
		{"nobody records", party.KindStoodDown, func(e *party.Event) { e.By = " " }, "stood-down: by is empty"},
		{"nobody is back", party.KindBack, func(e *party.Event) { e.Persons = nil }, "back: persons is empty"},
		{"bad person", party.KindBack, func(e *party.Event) { e.Persons = []party.PersonID{person(1), "x"} },
			"persons, number 2"},
		{"bad buddy", party.KindLeftEarly, func(e *party.Event) { e.Buddies = []party.PersonID{"x"} },
			"buddies, number 1"},
		{"two join at once", party.KindJoined, func(e *party.Event) { e.Persons = people(1, 2) }, "one at a time"},
		{"nameless walk-up", party.KindJoined, func(e *party.Event) { e.Name = "" }, "name is empty"},
		{"no reason", party.KindTurnedAway, func(e *party.Event) { e.Note = "" }, "write the reason"},
		{"no number out", party.KindDeparted, func(e *party.Event) { e.Number = 0 }, "departed: number is empty"},
		{"count of nothing", party.KindCounted, func(e *party.Event) { e.Number, e.Sweep = 0, 0 },
			"number and sweep are empty"},
		{"count nowhere", party.KindCounted, func(e *party.Event) { e.Place = "" }, "where the count was made"},
		{"negative count", party.KindCounted, func(e *party.Event) { e.Sweep = -1 }, "sweep -1"},
		{"left nowhere", party.KindLeftEarly, func(e *party.Event) { e.Place = "" }, "left-early: place is empty"},
		{"left for nowhere", party.KindLeftEarly, func(e *party.Event) { e.To = "" }, "left-early: to is empty"},
		{"one party", party.KindSplit, func(e *party.Event) { e.Parties = e.Parties[:1] }, "parties lists 1"},
		{"two of one name", party.KindSplit, func(e *party.Event) { e.Parties[1].Name = "fast" },
			`party 2: the name "fast" is taken`},
		{"nameless party", party.KindRejoined, func(e *party.Event) { e.Parties[0].Name = "" },
			"party 1: name is empty"},
		{"bad staff", party.KindSplit, func(e *party.Event) { e.Parties[0].Staff = []party.PersonID{"x"} },
			"party 1: staff, number 1"},
		{"no minutes", party.KindDelayed, func(e *party.Event) { e.Minutes = 0 }, "delayed: minutes is empty"},
		{"days late", party.KindDelayed, func(e *party.Event) { e.Minutes = 3000 }, "minutes 3000"},
		{"no message", party.KindReported, func(e *party.Event) { e.Note = "" }, "write the message"},
		{"undo of itself", party.KindUndone, func(e *party.Event) { e.Retracts = e.ID }, "names the event itself"},
		{"undo of nothing", party.KindUndone, func(e *party.Event) { e.Retracts = "" }, "which event is undone"},
		{"zero byte", party.KindHere, func(e *party.Event) { e.Note = "a\x00b" }, "note holds a character"},
		{"not text", party.KindHere, func(e *party.Event) { e.Place = "\xff" }, "place holds a character"},
		{"endless place", party.KindHere, func(e *party.Event) { e.Place = strings.Repeat("x", 201) },
			"place is longer"},
		{"third route", party.KindDeparted, func(e *party.Event) { e.Route = "moon" }, `route "moon"`},
		{"less than no water", party.KindWater, func(e *party.Event) { e.Litres = -1 }, "litres is not between"},
		{"a lake", party.KindStock, func(e *party.Event) { e.Litres = 2000 }, "litres is not between"},
		{"two adults for one minor", party.KindInCharge, func(e *party.Event) { e.Buddies = people(2, 3) },
			"buddies lists 2"},
		{"in their own charge", party.KindInCharge, func(e *party.Event) { e.Buddies = e.Persons }, "their own charge"},
		{"nobody is missed", party.KindMissing, func(e *party.Event) { e.Persons, e.Number = nil, 0 },
			"say who is missed"},
		{"last seen nowhere", party.KindMissing, func(e *party.Event) { e.Place = "" }, "last seen"},
		{"made-up factor", party.KindMissing, func(e *party.Event) { e.Factors = []party.Factor{"late"} },
			"factors has"},
		{"twelfth step", party.KindStep, func(e *party.Event) { e.Step = 12 }, "step 12"},
		{"noted about the weather", party.KindNoted, func(e *party.Event) { e.To = "weather" }, `to is "weather"`},
		{"noted nothing", party.KindNoted, func(e *party.Event) { e.To, e.Note = party.TopicDone, "" },
			"note is empty"},
		{"told to nobody", party.KindTold, func(e *party.Event) { e.To = "press" }, `to is "press"`},
		{"no signs", party.KindUnwell, func(e *party.Event) { e.Signs = nil }, "what is seen"},
		{"made-up sign", party.KindUnwell, func(e *party.Event) { e.Signs = []party.Sign{"odd"} }, "signs has"},
		{"no plate", party.KindCarGone, func(e *party.Event) { e.Plates = nil }, "plates is empty"},
		{"plate of dashes", party.KindPlate, func(e *party.Event) { e.Plates = []string{" - "} }, "no number plate"},
		{"nowhere along", party.KindCounted, func(e *party.Event) { e.Along = unit.Length(math.NaN()) }, "along_m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := fullMore(tt.kind)
			tt.change(&e)
			err := roll.Validate(e)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error = %v, want one with %q", err, tt.want)
			}
		})
	}
}

func TestEventSurvivesJSON(t *testing.T) {
	want := fullMore(party.KindSplit)
	want.Recorded = clock(5)
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got party.Event
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("event (-sent +read):\n%s", diff)
	}
}

// Golden: keys and kinds are stored and sent over the wire, so a rename would lose what is
// on record.
func TestKeysAndKindsAreStable(t *testing.T) {
	b, err := json.Marshal(fullMore(party.KindSplit))
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatal(err)
	}
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	want := "against agreed along_m at buddies by contact device factors gives_litres id kind litres minor minutes " +
		"name note number " +
		"parties party persons place plates retracts route seen_at seen_by signs step sweep to"
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("keys = %s\nwant   %s", got, want)
	}
	wantKinds := []party.Kind{"here", "absent", "joined", "turned-away", "departed", "counted", "left-early", "at-car",
		"split", "rejoined", "delayed", "back", "handed-over", "reported", "stood-down", "undone",
		"water", "stock", "in-charge", "missing", "named", "search-step", "found", "told", "unwell", "noted", "thunder",
		"plate-seen",
		"car-gone", "car-stays"}
	if diff := cmp.Diff(wantKinds, party.Kinds()); diff != "" {
		t.Errorf("kinds (-want +got):\n%s", diff)
	}
}
