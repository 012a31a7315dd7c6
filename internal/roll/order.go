package roll

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// House judgement: a device more than this ahead of the server has a wrong clock, and
// its events may sort after what they came before. Phones set by a network are within
// seconds.
const clockTolerance = 5 * time.Minute

// effective returns the events that count, in the order of their own time and then of
// their ids: each id once, without what is undone and without the undoing itself.
func effective(events []Event) ([]Event, []Flag) {
	once, flags := firstOfEach(events)
	slices.SortStableFunc(once, byTime)
	undone, odd := retracted(once)
	flags = append(flags, odd...)
	kept := make([]Event, 0, len(once))
	for i, e := range once {
		if undone[i] || e.Kind == KindUndone {
			continue
		}
		kept = append(kept, e)
		if ahead := e.At.Sub(e.Recorded); !e.Recorded.IsZero() && ahead > clockTolerance {
			flags = append(flags, newFlag(FlagClock, e, fmt.Sprintf(
				"the clock of %s's device is ahead of the server's: check the order of its records", e.By)))
		}
	}
	return kept, flags
}

func byTime(a, b Event) int {
	return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID))
}

// firstOfEach keeps one event of each id: the one that the server received first.
func firstOfEach(events []Event) ([]Event, []Flag) {
	once := make([]Event, 0, len(events))
	at := make(map[EventID]int, len(events))
	differ := make(map[EventID]bool)
	for _, e := range events {
		e.At = e.At.UTC().Round(0) // without the monotonic reading, which JSON drops
		i, again := at[e.ID]
		if !again {
			at[e.ID] = len(once)
			once = append(once, e)
			continue
		}
		if content(e) != content(once[i]) {
			differ[e.ID] = true
		}
		if earlier(e, once[i]) {
			once[i] = e
		}
	}
	return once, sameIDFlags(once, differ)
}

func sameIDFlags(once []Event, differ map[EventID]bool) []Flag {
	var flags []Flag
	for _, e := range once {
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

// earlier decides between two records of one id: received before not yet received, then
// by the time of receipt, then by content, so that the order of arrival decides nothing.
func earlier(a, b Event) bool {
	if a.Recorded.IsZero() != b.Recorded.IsZero() {
		return b.Recorded.IsZero()
	}
	return cmp.Or(a.Recorded.Compare(b.Recorded), strings.Compare(content(a), content(b))) < 0
}

// content is what an event says, without the receipt.
func content(e Event) string {
	e.Recorded = time.Time{}
	b, err := json.Marshal(e)
	if err != nil { // a number that is not one, which Validate refuses
		return err.Error()
	}
	return string(b)
}

// retracted finds which events are undone. An undo may itself be undone; undos that run
// in a circle undo nothing.
func retracted(events []Event) ([]bool, []Flag) {
	u := undoing{events: events, by: make(map[EventID][]int), undone: make([]bool, len(events)), state: make([]visit, len(events))}
	known := make(map[EventID]bool, len(events))
	for i, e := range events {
		known[e.ID] = true
		if e.Kind == KindUndone {
			u.by[e.Retracts] = append(u.by[e.Retracts], i)
		}
	}
	if len(u.by) == 0 {
		return u.undone, nil
	}
	for i := range events {
		u.visit(i)
	}
	return u.undone, u.odd(known)
}

type visit int

const (
	unseen visit = iota
	looking
	done
)

type undoing struct {
	events []Event
	by     map[EventID][]int // the undos of an event
	undone []bool
	state  []visit
}

func (u *undoing) visit(i int) bool {
	if u.state[i] != unseen {
		return u.state[i] == done && u.undone[i]
	}
	u.state[i] = looking
	for _, j := range u.by[u.events[i].ID] {
		if u.state[j] != looking && !u.visit(j) {
			u.undone[i] = true
		}
	}
	u.state[i] = done
	return u.undone[i]
}

// odd flags undos of events that are not on the roll (yet) and undos of themselves.
func (u *undoing) odd(known map[EventID]bool) []Flag {
	var flags []Flag
	for i, e := range u.events {
		if e.Kind != KindUndone || u.undone[i] || known[e.Retracts] && e.Retracts != e.ID {
			continue
		}
		flags = append(flags, newFlag(FlagUndo, e, e.By+" undid a record that has not arrived").about(e.Retracts))
	}
	return flags
}

// Newest returns the latest event that is neither undone nor an undoing: what "undo"
// would take back.
func Newest(events []Event) (Event, bool) {
	undone := map[EventID]bool{}
	for _, e := range events {
		if e.Kind == KindUndone {
			undone[e.Retracts] = true
		}
	}
	var newest Event
	for _, e := range events {
		if e.Kind != KindUndone && !undone[e.ID] && !e.At.Before(newest.At) {
			newest = e
		}
	}
	return newest, newest.ID != ""
}
