package roll

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
)

// Store keeps the events of every roll.
type Store interface {
	// Record loads the roll of one hike.
	Record(ctx context.Context, id ref.Hike) (Record, error)
	// Append stores the events that are new, with now as the time of receipt, and moves the
	// hike's state along, all or nothing. When it returns without an error the events are on
	// disk. It returns the roll with the new events, and a fault.Refusal if the roll is
	// closed. Each rule is applied to each new event against the roll at that moment, which
	// nobody else can change meanwhile.
	Append(ctx context.Context, id ref.Hike, events []party.Event, now time.Time, rules ...Rule) (Record, error)
	// Watched loads every roll whose watch may be running.
	Watched(ctx context.Context) ([]Watched, error)
}

// Record is the roll of one hike.
type Record struct {
	Hike   hike.Hike
	Roster party.Roster
	Events []party.Event
	// Terms come from the trail and the plan; Watched leaves them empty.
	Terms party.Terms
}

// TermsOf reads the terms from the trail and the newest plan, which is nil if there is none. Gate
// adds those of the hike.
func TermsOf(permitCap int, permitStaff bool, p *plan.Plan, rules rules.Rules) party.Terms {
	t := party.Terms{PermitCap: permitCap, PermitStaff: permitStaff}
	if p == nil {
		return t
	}
	t.Planned, t.Full = true, party.Way{Need: p.Water.Carry, Late: p.Time.P90.Duration()}
	t.Off, t.OffBecause = p.Turnaround.OffTrail.Time, p.Turnaround.OffTrailBecause
	t.Hot, t.Dusk = p.Heat.PeakAir >= rules.HotDay, p.Sun.CivilDusk.Time
	if p.Short != nil {
		t.Short = &party.Way{Name: p.Short.Name, Need: p.Short.Carry, Late: p.Short.P90.Duration()}
	}
	return t
}

// FullTerms returns the terms with the hike's rules and who is on call. Where it is dark at the planned
// start, daylight is no limit: such a walk is planned in the dark.
func (r Record) FullTerms() party.Terms {
	t, rules := r.Terms, r.Hike.Rules()
	t.FewestStaff, t.Ratio, t.MinorsPerAdult = rules.StaffNeeded(0), rules.Ratio, rules.MinorsPerAdult
	t.OnCall, t.OnCallAgreed = r.Hike.OnCall.Name, !r.Hike.OnCallAccepted.IsZero()
	t.OnCallReached = r.Hike.OnCall.Reachable(t.OnCallAgreed)
	t.OnCallOverride = r.Hike.OnCallOverride.Words(r.Hike.Start.Location())
	t.Decision, t.DecidedEarly = r.Hike.DecidedWords()
	if !t.Dusk.After(r.Hike.Start) && t.Off.Before(r.Hike.Start) {
		t.Off, t.OffBecause = time.Time{}, ""
	}
	return t
}

// Gate checks whether the party may leave on a route at a time, from the roll as it stands.
func (r Record) Gate(route party.Route, at time.Time) party.Gate {
	return party.GateOf(r.State(), r.FullTerms(), route, at)
}

// State folds the record.
func (r Record) State() party.State { return party.FoldWith(r.Roster, r.FullTerms(), r.Events) }

// Watched is a roll with what the board needs.
type Watched struct {
	Record
	// Trail is the trail's name.
	Trail string
	// Plan is the newest plan, nil if there is none.
	Plan *plan.Plan
}

// Open returns a fault.Refusal if the hike's roll takes no more events.
func Open(h hike.Hike) error {
	switch h.State {
	case hike.Posted, hike.Out, hike.Back:
		return nil
	}
	return fault.Refusal(fmt.Sprintf("This hike is %s; its roll takes no records.", h.State))
}

// Move brings the hike's state in step with its roll, in either direction: an undone event
// takes a state back. It reports whether anything changed. A closed hike stays closed.
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
