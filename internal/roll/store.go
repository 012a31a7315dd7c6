package roll

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

// Store keeps the events of every roll.
type Store interface {
	// Record loads the roll of one hike.
	Record(ctx context.Context, id hike.HikeID) (Record, error)
	// Append stores the events that are not yet known, received now, and moves the hike's
	// state along, all or nothing; when it returns without an error they are on disk. It
	// answers with the roll after them, and with a hike.Refusal where the roll is closed.
	Append(ctx context.Context, id hike.HikeID, events []Event, now time.Time) (Record, error)
	// Watched loads every roll whose watch may be running.
	Watched(ctx context.Context) ([]Watched, error)
}

// Record is the roll of one hike.
type Record struct {
	Hike   hike.Hike
	Roster Roster
	Events []Event
}

// State folds the record.
func (r Record) State() State { return Fold(r.Roster, r.Events) }

// Watched is a roll as the board needs it.
type Watched struct {
	Record
	// Trail is the trail's name.
	Trail string
	// Plan is the newest plan, nil where none was made.
	Plan *plan.Plan
}

// Open returns a refusal where a hike's roll takes no more records.
func Open(h hike.Hike) error {
	switch h.State {
	case hike.Posted, hike.Out, hike.Back:
		return nil
	}
	return hike.Refusal(fmt.Sprintf("This hike is %s; its roll takes no records.", h.State))
}

// RosterOf lists the staff, then everyone with a confirmed place by name.
func RosterOf(h hike.Hike, places []hike.SignUp) Roster {
	var roster Roster
	for _, m := range h.Staff {
		roster = append(roster, Entry{ID: PersonID(m.Person), Name: m.Name, Staff: true, Role: string(m.Role)})
	}
	var walkers Roster
	for _, p := range places {
		if p.State == hike.Confirmed {
			walkers = append(walkers, Entry{ID: PersonID(p.ID), Name: p.Name, Minor: p.Minor})
		}
	}
	slices.SortStableFunc(walkers, func(a, b Entry) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	return append(roster, walkers...)
}

// Move brings the hike's state in step with its roll, either way: an undone record takes
// a state back. It reports whether anything changed. A closed hike stays closed.
func (r *Record) Move() bool {
	before := r.Hike.State
	if Open(r.Hike) != nil {
		return false
	}
	s := r.State()
	switch {
	case s.Departed.IsZero():
		r.Hike.State = hike.Posted
	case s.AllAccounted:
		r.Hike.State = hike.Back
	default:
		r.Hike.State = hike.Out
	}
	return r.Hike.State != before
}
