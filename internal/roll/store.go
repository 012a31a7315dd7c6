package roll

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
)

// Store keeps the events of every roll.
type Store interface {
	// Record loads the roll of one hike.
	Record(ctx context.Context, id ref.Hike) (Record, error)
	// Append stores the events that are not yet known, received now, and moves the hike's
	// state along, all or nothing; when it returns without an error they are on disk. It
	// answers with the roll after them, and with a hike.Refusal where the roll is closed.
	// Each rule is asked about each event that is new, with the roll as it stands at that
	// moment and nobody else able to change it.
	Append(ctx context.Context, id ref.Hike, events []Event, now time.Time, rules ...Rule) (Record, error)
	// Watched loads every roll whose watch may be running.
	Watched(ctx context.Context) ([]Watched, error)
}

// Record is the roll of one hike.
type Record struct {
	Hike   hike.Hike
	Roster Roster
	Events []Event
	// Terms are what the trail and the plan say; Watched leaves them empty.
	Terms Terms
}

// Terms are what a departure is judged by beside the roll.
type Terms struct {
	// PermitCap is the largest party the land manager allows, 0 for not known.
	PermitCap int
	// PermitStaff says that the cap counts staff too.
	PermitStaff bool
	// Planned says that there is a plan; Full and Short are its routes.
	Planned bool
	Full    Way
	Short   *Way
	// Hot says that the plan's day is hot enough to shorten every wait.
	Hot bool
}

// TermsOf reads the terms off the trail and the newest plan, nil where there is none.
func TermsOf(permitCap int, permitStaff bool, p *plan.Plan, rules rules.Rules) Terms {
	t := Terms{PermitCap: permitCap, PermitStaff: permitStaff}
	if p == nil {
		return t
	}
	t.Planned, t.Full = true, Way{Need: p.Water.Carry}
	t.Hot = p.Heat.PeakAir >= rules.HotDay
	if p.Short != nil {
		t.Short = &Way{Name: p.Short.Name, Need: p.Short.Carry}
	}
	return t
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
	return fault.Refusal(fmt.Sprintf("This hike is %s; its roll takes no records.", h.State))
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
