package watch

import (
	"context"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/trail"
)

// Clocks returns the times that everybody is told, zero without a plan.
func (c Case) Clocks() party.Clocks {
	if !c.Promised || c.Plan == nil {
		return party.Clocks{Start: c.Hike.Start, Left: !c.State.Departed.IsZero(), TurnAt: c.Hike.Turn.Where()}
	}
	t, turn := c.Times, c.Plan.Turnaround
	k := party.Clocks{
		Start: t.Start, Left: t.DepartureConfirmed, Expected: t.Expected, Latest: t.Latest,
		Watch: t.Watch, WatchBecause: t.WatchBecause, Call: t.Call,
		Off: turn.OffTrail.Time, OffBecause: turn.OffTrailBecause, TurnAt: c.Hike.Turn.Where(),
	}
	k.Turn, k.TurnBecause = c.turn(turn)
	return k
}

// turn returns when to turn around. Water is drunk from the departure on, so its limit moves with an
// early one; daylight and heat do not move, and no limit moves later. A time that is over before the
// party leaves is none: whoever reads it must not go that way at all.
func (c Case) turn(t plan.Turnaround) (at time.Time, because string) {
	at, because = t.At.Time, t.Because
	if at.IsZero() {
		return at, because
	}
	if early := c.Promise.Scheduled.Sub(c.Times.Start); early > 0 && t.TurnsByWater() {
		at = at.Add(-early)
	}
	if half := c.Times.Start.Add(c.Promise.P90 / 2); at.After(c.Times.Expected) {
		at, because = half.Truncate(time.Minute), "half of the time that the party has"
	}
	if !at.After(c.Times.Start) {
		return time.Time{}, "the time to turn around is before the start: " + because
	}
	return at, because
}

// Before is the case of a hike that has not left, from its sign-ups and plan.
func Before(t hike.Data) Case {
	rec := roll.Record{Hike: t.Hike, Roster: roll.RosterOf(t.Hike, t.SignUps)}
	return CaseOf(roll.Watched{Record: rec, Trail: t.Trail.Name, Plan: t.Plan}, nil)
}

// Replanned returns the data of a hike that was changed before it left, with its trail and its
// new plan, nil for none.
func Replanned(t hike.Data, h hike.Hike, on trail.Trail, p *hike.StoredPlan) hike.Data {
	t.Hike, t.Trail, t.Plan, t.Stored = h, h.On(on), nil, hike.StoredPlan{}
	if p != nil {
		t.Plan, t.Stored = &p.Plan, *p
	}
	t.Clocks = Before(t).Clocks()
	return t
}

// RecordStore loads the roll of a hike.
type RecordStore interface {
	Record(ctx context.Context, id ref.Hike) (roll.Record, error)
}

// LoadData loads a hike's trail, latest plan, sign-ups and clocks. The clocks of a hike that is out
// or back follow from its roll.
func LoadData(
	ctx context.Context, store hike.DataStore, rolls RecordStore, h hike.Hike, now time.Time,
) (hike.Data, error) {
	t, err := hike.LoadData(ctx, store, h, now)
	if err != nil {
		return t, err
	}
	c := Before(t)
	if h.State == hike.Out || h.State == hike.Back {
		rec, err := rolls.Record(ctx, h.ID)
		if err != nil {
			return t, err
		}
		c = CaseOf(roll.Watched{Record: rec, Trail: t.Trail.Name, Plan: t.Plan}, nil)
	}
	t.Clocks = c.Clocks()
	return t, nil
}
