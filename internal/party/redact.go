package party

import (
	"fmt"
	"slices"
	"time"
)

// WithoutPlates returns the events without number plates.
func WithoutPlates(events []Event) []Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].Plates = nil
	}
	return out
}

// WithoutContacts returns the events without the answers of walk-ups about themselves and
// their emergency contacts, which are in the contact and in the note of their joining.
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

// contactGiven stands for the contact of a walk-up where only that there is one matters.
const contactGiven = "given"

// ForTheRoll returns the events with no more than the page of the roll shows of them, and with all
// that the fold needs: without devices, the answers of walk-ups, and notes that the page does not
// show.
func ForTheRoll(events []Event) []Event {
	out := slices.Clone(events)
	for i := range out {
		e := &out[i]
		e.Device, e.DeviceAt = "", time.Time{}
		if e.Contact != "" {
			e.Contact = contactGiven
		}
		switch e.Kind {
		case KindDeparted, KindAtCar, KindMissing, KindNamed, KindFound, KindNoted:
		default:
			e.Note = ""
		}
	}
	return out
}

// deletedWords replaces a text that may have held a name. That there was one, and how many,
// is part of the count.
const deletedWords = "words deleted with the names"

// WithoutNames returns the events without names and free text. Numbers, times and places
// stay. Recorders, parties and walk-ups become numbers: two records by one person mean
// something different from two by different people.
func WithoutNames(events []Event) []Event {
	by, parties, names := numbering("recorder"), numbering("party"), numbering("walk-up")
	out := slices.Clone(events)
	for i := range out {
		e := &out[i]
		e.By, e.Party, e.Name = by(e.By), parties(e.Party), names(e.Name)
		e.Note, e.SeenBy, e.Contact, e.Device = "", "", "", ""
		if !slices.Contains(append(NotifyOrder(), Topics()...), e.To) {
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

// numbering returns a function that numbers texts in the order of first mention and leaves
// the empty text empty.
func numbering(word string) func(string) string {
	known := map[string]string{"": ""}
	return func(s string) string {
		if _, ok := known[s]; !ok {
			known[s] = fmt.Sprintf("%s %d", word, len(known))
		}
		return known[s]
	}
}
