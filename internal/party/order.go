package party

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Our judgment: a device more than this ahead of the server has a wrong clock, and its
// events may sort after events that they came before. Networks set phones to within
// seconds.
const clockTolerance = 5 * time.Minute

// effective returns the events that count, each ID once, without undone events and without
// the undos. They are ordered by their own time, then by ID.
func effective(events []Event) ([]Event, []Flag) {
	unique, flags := deduplicate(events)
	flags = append(flags, clampFuture(unique)...)
	slices.SortStableFunc(unique, byTime)
	undone, undoFlags := findUndone(unique)
	flags = append(flags, undoFlags...)
	valid := make([]Event, 0, len(unique))
	for i, e := range unique {
		if undone[i] || e.Kind == KindUndone {
			continue
		}
		valid = append(valid, e)
	}
	return valid, flags
}

// clampFuture moves events that are dated after their receipt to the receipt: nothing that a device
// says about the future moves a deadline. The device's own time stays in DeviceAt.
func clampFuture(events []Event) []Flag {
	var flags []Flag
	for i := range events {
		e := &events[i]
		ahead := e.At.Sub(e.Recorded)
		if e.Recorded.IsZero() || ahead <= 0 {
			continue
		}
		if e.DeviceAt.IsZero() {
			e.DeviceAt = e.At
		}
		e.At = e.Recorded.UTC().Round(0)
		if ahead > clockTolerance {
			flags = append(flags, newFlag(FlagClock, *e, fmt.Sprintf(
				"a record by %s is dated after the server received it, so the time of receipt counts", e.By)))
		}
	}
	return flags
}

func byTime(a, b Event) int {
	return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID))
}

// deduplicate keeps one event of each ID, the one that the server received first, and flags
// IDs that came with different contents.
func deduplicate(events []Event) ([]Event, []Flag) {
	unique := make([]Event, 0, len(events))
	at := make(map[EventID]int, len(events))
	differ := make(map[EventID]bool)
	for _, e := range events {
		e.At = e.At.UTC().Round(0) // without the monotonic reading, which JSON drops
		i, again := at[e.ID]
		if !again {
			at[e.ID] = len(unique)
			unique = append(unique, e)
			continue
		}
		if content(e) != content(unique[i]) {
			differ[e.ID] = true
		}
		if receivedFirst(e, unique[i]) {
			unique[i] = e
		}
	}
	return unique, sameIDFlags(unique, differ)
}

func sameIDFlags(unique []Event, differ map[EventID]bool) []Flag {
	var flags []Flag
	for _, e := range unique {
		if differ[e.ID] {
			flags = append(flags, newFlag(FlagSameID, e,
				"two different records came under one id: the first received stands, ask "+e.By))
		}
	}
	slices.SortFunc(flags, func(a, b Flag) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Events[0], b.Events[0]))
	})
	return flags
}

// receivedFirst decides between two events with one ID: one that was received goes before
// one that was not, then by the time of receipt, then by content, so that the order of
// arrival makes no difference.
func receivedFirst(a, b Event) bool {
	if a.Recorded.IsZero() != b.Recorded.IsZero() {
		return b.Recorded.IsZero()
	}
	return cmp.Or(a.Recorded.Compare(b.Recorded), strings.Compare(content(a), content(b))) < 0
}

// content is all of an event but the time of receipt.
func content(e Event) string {
	e.Recorded = time.Time{}
	b, err := json.Marshal(e)
	if err != nil { // a NaN or an infinity, which validation rejects
		return err.Error()
	}
	return string(b)
}

// findUndone reports for each event whether it is undone. An undo may itself be undone;
// undos that form a circle undo nothing.
func findUndone(events []Event) ([]bool, []Flag) {
	u := undos{
		events: events, of: make(map[EventID][]int),
		undone: make([]bool, len(events)), state: make([]visit, len(events)),
	}
	known := make(map[EventID]bool, len(events))
	for i, e := range events {
		known[e.ID] = true
		if e.Kind == KindUndone {
			u.of[e.Retracts] = append(u.of[e.Retracts], i)
		}
	}
	if len(u.of) == 0 {
		return u.undone, nil
	}
	for i := range events {
		u.visit(i)
	}
	return u.undone, u.flags(known)
}

type visit int

const (
	unvisited visit = iota
	visiting
	visited
)

// undos is a depth-first walk over the events and their undos.
type undos struct {
	events []Event
	of     map[EventID][]int // the undos of an event
	undone []bool
	state  []visit
}

// visit reports whether event i is undone.
func (u *undos) visit(i int) bool {
	if u.state[i] != unvisited {
		return u.state[i] == visited && u.undone[i]
	}
	u.state[i] = visiting
	for _, j := range u.of[u.events[i].ID] {
		if u.state[j] != visiting && !u.visit(j) {
			u.undone[i] = true
		}
	}
	u.state[i] = visited
	return u.undone[i]
}

// flags flags undos of themselves and of events that have not arrived.
func (u *undos) flags(known map[EventID]bool) []Flag {
	var flags []Flag
	for i, e := range u.events {
		if e.Kind != KindUndone || u.undone[i] || known[e.Retracts] && e.Retracts != e.ID {
			continue
		}
		flags = append(flags,
			newFlag(FlagUndo, e, e.By+" undid a record that has not arrived").about(e.Retracts))
	}
	return flags
}
