package roll_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/roll"
	"saltbush/internal/unit"
)

// full is an event that every kind accepts.
func full(k roll.Kind) roll.Event {
	return roll.Event{
		ID: eventID(1), Kind: k, At: clock(0), By: "Walker 01", Device: "phone 1", Name: "Pat Example",
		Persons: people(1, 1), Buddies: people(2, 2), Number: 5, Sweep: 5, Party: "fast", Place: "Wash", Along: 900,
		To: "car", Minutes: 30, Note: "why", Retracts: eventID(2),
		Parties: []roll.Part{
			{Name: "fast", Staff: people(1, 1), Number: 2, Meet: "Saddle", By: clock(60)},
			{Name: "slow", Staff: people(2, 2), Persons: people(3, 4), Number: 3},
		},
	}
}

// fullMore is full with what the later kinds add.
func fullMore(k roll.Kind) roll.Event {
	e := full(k)
	e.Litres, e.Gives, e.Route, e.Against = 3.5, 0.5, roll.RouteShort, []string{"nobody on call"}
	e.Minor, e.Contact, e.Agreed, e.SeenBy, e.SeenAt = true, "Teo Example, 555 0101 111", true, "Kit Example", clock(-5)
	e.Factors, e.Signs, e.Step, e.Plates = roll.Factors()[:2], roll.Signs()[:2], 4, []string{"ABC 123"}
	if k == roll.KindTold {
		e.To = "searchers"
	}
	return e
}

func TestValidateAcceptsEveryKind(t *testing.T) {
	for _, k := range roll.Kinds() {
		if err := fullMore(k).Validate(); err != nil {
			t.Errorf("%s: %v", k, err)
		}
	}
}

func TestValidateSaysWhatAndWhere(t *testing.T) {
	tests := []struct {
		name   string
		kind   roll.Kind
		change func(*roll.Event)
		want   string
	}{
		{"unknown kind", "floated", func(*roll.Event) {}, `kind "floated"`},
		{"id in capitals", roll.KindHere, func(e *roll.Event) { e.ID = "ABCDEFAB-0000-4000-8000-000000000001" }, "here: id"},
		{"no id", roll.KindHere, func(e *roll.Event) { e.ID = "" }, "here: id"},
		{"no time", roll.KindHere, func(e *roll.Event) { e.At = time.Time{} }, "here: at is empty"},
		{"clock of 1970", roll.KindHere, func(e *roll.Event) { e.At = time.Unix(0, 0) }, "clock looks wrong"},
		{"nobody records", roll.KindStoodDown, func(e *roll.Event) { e.By = " " }, "stood-down: by is empty"},
		{"nobody is back", roll.KindBack, func(e *roll.Event) { e.Persons = nil }, "back: persons is empty"},
		{"bad person", roll.KindBack, func(e *roll.Event) { e.Persons = []roll.PersonID{person(1), "x"} }, "persons, number 2"},
		{"bad buddy", roll.KindLeftEarly, func(e *roll.Event) { e.Buddies = []roll.PersonID{"x"} }, "buddies, number 1"},
		{"two join at once", roll.KindJoined, func(e *roll.Event) { e.Persons = people(1, 2) }, "one at a time"},
		{"nameless walk-up", roll.KindJoined, func(e *roll.Event) { e.Name = "" }, "name is empty"},
		{"no reason", roll.KindTurnedAway, func(e *roll.Event) { e.Note = "" }, "write the reason"},
		{"no number out", roll.KindDeparted, func(e *roll.Event) { e.Number = 0 }, "departed: number is empty"},
		{"count of nothing", roll.KindCounted, func(e *roll.Event) { e.Number, e.Sweep = 0, 0 }, "number and sweep are empty"},
		{"count nowhere", roll.KindCounted, func(e *roll.Event) { e.Place = "" }, "where the count was made"},
		{"negative count", roll.KindCounted, func(e *roll.Event) { e.Sweep = -1 }, "sweep -1"},
		{"left nowhere", roll.KindLeftEarly, func(e *roll.Event) { e.Place = "" }, "left-early: place is empty"},
		{"left for nowhere", roll.KindLeftEarly, func(e *roll.Event) { e.To = "" }, "left-early: to is empty"},
		{"one party", roll.KindSplit, func(e *roll.Event) { e.Parties = e.Parties[:1] }, "parties lists 1"},
		{"two of one name", roll.KindSplit, func(e *roll.Event) { e.Parties[1].Name = "fast" }, `party 2: the name "fast" is taken`},
		{"nameless party", roll.KindRejoined, func(e *roll.Event) { e.Parties[0].Name = "" }, "party 1: name is empty"},
		{"bad staff", roll.KindSplit, func(e *roll.Event) { e.Parties[0].Staff = []roll.PersonID{"x"} }, "party 1: staff, number 1"},
		{"no minutes", roll.KindDelayed, func(e *roll.Event) { e.Minutes = 0 }, "delayed: minutes is empty"},
		{"days late", roll.KindDelayed, func(e *roll.Event) { e.Minutes = 3000 }, "minutes 3000"},
		{"no message", roll.KindReported, func(e *roll.Event) { e.Note = "" }, "write the message"},
		{"undo of itself", roll.KindUndone, func(e *roll.Event) { e.Retracts = e.ID }, "names the event itself"},
		{"undo of nothing", roll.KindUndone, func(e *roll.Event) { e.Retracts = "" }, "which event is undone"},
		{"zero byte", roll.KindHere, func(e *roll.Event) { e.Note = "a\x00b" }, "note holds a character"},
		{"not text", roll.KindHere, func(e *roll.Event) { e.Place = "\xff" }, "place holds a character"},
		{"endless place", roll.KindHere, func(e *roll.Event) { e.Place = strings.Repeat("x", 201) }, "place is longer"},
		{"third route", roll.KindDeparted, func(e *roll.Event) { e.Route = "moon" }, `route "moon"`},
		{"less than no water", roll.KindWater, func(e *roll.Event) { e.Litres = -1 }, "litres is not between"},
		{"a lake", roll.KindStock, func(e *roll.Event) { e.Litres = 2000 }, "litres is not between"},
		{"two adults for one minor", roll.KindInCharge, func(e *roll.Event) { e.Buddies = people(2, 3) }, "buddies lists 2"},
		{"in their own charge", roll.KindInCharge, func(e *roll.Event) { e.Buddies = e.Persons }, "their own charge"},
		{"nobody is missed", roll.KindMissing, func(e *roll.Event) { e.Persons, e.Number = nil, 0 }, "say who is missed"},
		{"last seen nowhere", roll.KindMissing, func(e *roll.Event) { e.Place = "" }, "last seen"},
		{"made-up factor", roll.KindMissing, func(e *roll.Event) { e.Factors = []roll.Factor{"late"} }, "factors has"},
		{"twelfth step", roll.KindStep, func(e *roll.Event) { e.Step = 12 }, "step 12"},
		{"told to nobody", roll.KindTold, func(e *roll.Event) { e.To = "press" }, `to is "press"`},
		{"no signs", roll.KindUnwell, func(e *roll.Event) { e.Signs = nil }, "what is seen"},
		{"made-up sign", roll.KindUnwell, func(e *roll.Event) { e.Signs = []roll.Sign{"odd"} }, "signs has"},
		{"no plate", roll.KindCarGone, func(e *roll.Event) { e.Plates = nil }, "plates is empty"},
		{"plate of dashes", roll.KindPlate, func(e *roll.Event) { e.Plates = []string{" - "} }, "no number plate"},
		{"nowhere along", roll.KindCounted, func(e *roll.Event) { e.Along = unit.Length(math.NaN()) }, "along_m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := fullMore(tt.kind)
			tt.change(&e)
			err := e.Validate()
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error = %v, want one with %q", err, tt.want)
			}
		})
	}
}

func TestEventSurvivesJSON(t *testing.T) {
	want := fullMore(roll.KindSplit)
	want.Recorded = clock(5)
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got roll.Event
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("event (-sent +read):\n%s", diff)
	}
}

// Golden: keys and kinds are stored and sent, so that a rename would lose what is on
// record.
func TestKeysAndKindsAreStable(t *testing.T) {
	b, err := json.Marshal(fullMore(roll.KindSplit))
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
	want := "against agreed along_m at buddies by contact device factors gives_litres id kind litres minor minutes name note number " +
		"parties party persons place plates retracts route seen_at seen_by signs step sweep to"
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("keys = %s\nwant   %s", got, want)
	}
	wantKinds := []roll.Kind{"here", "absent", "joined", "turned-away", "departed", "counted", "left-early", "at-car",
		"split", "rejoined", "delayed", "back", "handed-over", "reported", "stood-down", "undone",
		"water", "stock", "in-charge", "missing", "search-step", "found", "told", "unwell", "thunder", "plate-seen", "car-gone"}
	if diff := cmp.Diff(wantKinds, roll.Kinds()); diff != "" {
		t.Errorf("kinds (-want +got):\n%s", diff)
	}
}
