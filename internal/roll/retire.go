package roll

import (
	"fmt"
	"slices"
)

// WithoutPlates are the events without any number plate. Who moved, how many and when stay.
func WithoutPlates(events []Event) []Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].Plates = nil
	}
	return out
}

// WithoutContacts are the events without what walk-ups said of themselves and of whom to
// ring: it stands in the contact and in the note of their joining.
func WithoutContacts(events []Event) []Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].Contact = ""
		if out[i].Kind == KindJoined {
			out[i].Note = ""
		}
	}
	return out
}

// deletedWords stand where a text was that may have held a name; that there was one, and
// how many, is part of the count.
const deletedWords = "words deleted with the names"

// WithoutNames are the events without names and free text. Numbers, times and places stay,
// and so does who recorded what, under a number for each: two records by one person mean
// something else than two by different people. Parties and walk-ups go by numbers too.
func WithoutNames(events []Event) []Event {
	by, parties, names := numbered("recorder"), numbered("party"), numbered("walk-up")
	out := slices.Clone(events)
	for i := range out {
		e := &out[i]
		e.By, e.Party, e.Name = by(e.By), parties(e.Party), names(e.Name)
		e.Note, e.SeenBy, e.Contact, e.Device = "", "", "", ""
		if !slices.Contains(Hearers(), e.To) {
			e.To = ""
		}
		e.Against = slices.Clone(e.Against)
		for j := range e.Against {
			e.Against[j] = deletedWords
		}
		e.Parties = slices.Clone(e.Parties)
		for j := range e.Parties {
			e.Parties[j].Name = parties(e.Parties[j].Name)
		}
	}
	return out
}

// numbered gives each text a number in the order of first mention, and nothing to none.
func numbered(word string) func(string) string {
	known := map[string]string{"": ""}
	return func(s string) string {
		if _, ok := known[s]; !ok {
			known[s] = fmt.Sprintf("%s %d", word, len(known))
		}
		return known[s]
	}
}

// Incidents says what happened on the hike that a claim or an inquiry may be about, in
// words; none for an ordinary day.
func (s State) Incidents() []string {
	var words []string
	add := func(happened bool, what string) {
		if happened {
			words = append(words, what)
		}
	}
	add(!s.TroubleAt.IsZero(), "help was asked for")
	add(len(s.Unwell) > 0, "somebody was unwell")
	add(len(s.Searches) > 0, "somebody was missing")
	add(s.HandedOver > 0 || slices.ContainsFunc(s.People, func(p Person) bool { return p.Where == WhereHandedOver }), "somebody was handed over")
	return words
}
