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

func TestValidateAcceptsEveryKind(t *testing.T) {
	for _, k := range roll.Kinds() {
		if err := full(k).Validate(); err != nil {
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
		{"nowhere along", roll.KindCounted, func(e *roll.Event) { e.Along = unit.Length(math.NaN()) }, "along_m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := full(tt.kind)
			tt.change(&e)
			err := e.Validate()
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error = %v, want one with %q", err, tt.want)
			}
		})
	}
}

func TestEventSurvivesJSON(t *testing.T) {
	want := full(roll.KindSplit)
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
	b, err := json.Marshal(full(roll.KindSplit))
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
	want := "along_m at buddies by device id kind minutes name note number parties party persons place retracts sweep to"
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("keys = %s\nwant   %s", got, want)
	}
	wantKinds := []roll.Kind{"here", "absent", "joined", "turned-away", "departed", "counted", "left-early", "at-car",
		"split", "rejoined", "delayed", "back", "handed-over", "reported", "stood-down", "undone"}
	if diff := cmp.Diff(wantKinds, roll.Kinds()); diff != "" {
		t.Errorf("kinds (-want +got):\n%s", diff)
	}
}
