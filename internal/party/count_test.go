package party_test

import (
	"testing"

	"saltbush/internal/party"
)

func TestGapWords(t *testing.T) {
	s := party.Fold([]party.Entry{{ID: "a", Name: "Ann"}, {ID: "b", Name: "Bea"}, {ID: "c", Name: "Cy"}}, nil)
	notch := party.Sighting{Place: "Notch Junction", At: clock(100)}
	for want, g := range map[string]party.Gap{
		"Missing from this count: Bea. Look first along the back party's route since Notch Junction.": {
			Short: 1, Party: "back", Candidates: []party.PersonID{"b"}, Since: notch},
		"Missing from this count: 1 of Ann, Bea and Cy. Look first along the group's route since Notch Junction.": {
			Short: 1, Candidates: []party.PersonID{"a", "b", "c"}, Since: notch},
		"Missing from this count: 1 of Ann and Bea. Look first along the group's route; no earlier count was right.": {
			Short: 1, Candidates: []party.PersonID{"a", "b"}},
	} {
		if got := s.GapWords(g); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
