package party_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"saltbush/internal/party"
)

// withoutWords is what must stay of a state when its words are deleted.
func withoutWords(s party.State) any {
	for i := range s.People {
		s.People[i].Entry = party.Entry{ID: s.People[i].ID}
		s.People[i].Party, s.People[i].Water.By, s.People[i].Confirmed = "", "", ""
	}
	flags := kindsOf(s.Flags)
	delete(flags, party.FlagCarBack) // without plates no car is known
	for i := range s.Counts {
		s.Counts[i].Party = ""
	}
	return []any{s.People, s.Out, s.Joined, s.LeftEarly, s.HandedOver, s.Expected, s.Unnamed, s.Departed, s.Delay,
		s.Delays, s.Counts,
		len(s.Parties), len(s.Gaps), len(s.Reports), s.TroubleAt, s.StoodDown, s.LastHeard, s.Thunder, len(s.Searches),
		len(s.Unwell), s.AllAccounted, flags}
}

func TestTheRollFoldsToTheSameCountsWithoutWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := drawEvents(t)
		for i := range events {
			events[i].Note, events[i].Contact = "a note", "a contact"
		}
		want := withoutWords(party.Fold(roster(crew), events))
		bare := roster(crew)
		for i := range bare {
			bare[i].Name = "nobody"
		}
		for name, without := range map[string][]party.Event{
			"plates": party.WithoutPlates(events), "contacts": party.WithoutContacts(events),
			"names": party.WithoutNames(events),
			"all":   party.WithoutNames(party.WithoutContacts(party.WithoutPlates(events))),
		} {
			if diff := cmp.Diff(want, withoutWords(party.Fold(bare, without)), cmpopts.IgnoreUnexported(party.Person{}),
				cmpopts.EquateEmpty()); diff != "" {
				t.Fatalf("without %s the roll counts otherwise (-with +without):\n%s", name, diff)
			}
		}
	})
}

func TestNoWordIsLeftInTheRoll(t *testing.T) {
	e := party.Event{ID: eventID(1), Kind: party.KindJoined, At: clock(1), By: "planted", Device: "planted",
		Name: "planted", Party: "planted", To: "planted",
		Note: "planted", Contact: "planted", SeenBy: "planted", Against: []string{"planted"},
		Plates:  []string{"planted"},
		Parties: []party.Part{{Name: "planted"}}, Place: "Saddle", Number: 7}
	text, err := json.Marshal(party.WithoutPlates(party.WithoutNames([]party.Event{e})))
	if err != nil || strings.Contains(string(text), "planted") || !strings.Contains(string(text), "Saddle") {
		t.Errorf("%v: %s", err, text)
	}
	if e.Against[0] != "planted" || e.Parties[0].Name != "planted" {
		t.Error("the events that were given have changed")
	}
}

func TestIncidentsAreNamed(t *testing.T) {
	for _, tt := range []struct {
		name string
		kind party.Kind
		want string
	}{
		{"an ordinary day", party.KindHere, ""},
		{"asked for help", party.KindReported, "help was asked for"},
		{"unwell", party.KindUnwell, "somebody was unwell"},
		{"missing", party.KindMissing, "somebody was missing"},
		{"with responders", party.KindHandedOver, "somebody was handed over"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(5)
			s.Add(tt.kind, 90, func(e *party.Event) {
				e.Persons, e.Trouble = people(4, 4), tt.kind == party.KindReported
				if tt.kind == party.KindUnwell {
					e.Signs = []party.Sign{party.SignCramps}
				}
			})
			if got := strings.Join(party.Fold(roster(5), s.Events).Incidents(), "; "); got != tt.want {
				t.Errorf("incidents %q, want %q", got, tt.want)
			}
		})
	}
}
