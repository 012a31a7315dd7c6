package hike

import (
	"context"
	"errors"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// Where says where people meet and how to get there, by the trail the hike is on now.
func (t Data) Where() string {
	words := strings.TrimSuffix(t.Trail.Name+": "+strings.TrimSpace(t.Trail.Meeting), ": ")
	if s := t.Trail.Profile.Samples; len(s) > 0 {
		words += " (" + format.Position(s[0].At) + ")"
	}
	return words
}

// Finish says when the hike is back; "" without a plan.
func (t Data) Finish() string {
	if !t.Clocks.Known() {
		return ""
	}
	return "between " + format.Clock(t.Clocks.Expected, t.Zone()) + " and " +
		format.Clock(t.Clocks.Latest, t.Zone())
}

// Held says until when a place is held; "" for no limit.
func Held(h Hike, p signup.SignUp) string {
	if p.HeldUntil.IsZero() {
		return ""
	}
	return format.Moment(p.HeldUntil, h.Start.Location())
}

// Data is what the pages and mails of one hike need.
type Data struct {
	Hike    Hike
	Trail   trail.Trail // as far as the hike walks it
	Plan    *plan.Plan  // nil if there is none
	Stored  StoredPlan
	SignUps []signup.SignUp
	// Clocks are the times that everybody is told; watch.LoadData sets them.
	Clocks party.Clocks
	Now    time.Time
}

// DataStore is what LoadData reads from. Its methods are those of Store.
type DataStore interface {
	Trail(ctx context.Context, id ref.Trail) (trail.Trail, error)
	SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error)
	LatestPlan(ctx context.Context, id ref.Hike) (StoredPlan, error)
}

// LoadData loads a hike's trail, latest plan and sign-ups.
func LoadData(ctx context.Context, store DataStore, h Hike, now time.Time) (Data, error) {
	t := Data{Hike: h, Now: now}
	var err error
	if t.Trail, err = store.Trail(ctx, h.Trail); err != nil {
		return t, err
	}
	t.Trail = h.On(t.Trail)
	if t.SignUps, err = store.SignUps(ctx, h.ID); err != nil {
		return t, err
	}
	t.Stored, err = store.LatestPlan(ctx, h.ID)
	if errors.Is(err, fault.ErrNotFound) {
		return t, nil
	}
	t.Plan = &t.Stored.Plan
	return t, err
}

// Zone returns the time zone of the trailhead.
func (t Data) Zone() *time.Location { return t.Trail.Location() }

// Count counts the sign-ups in a state.
func (t Data) Count(state signup.State) int {
	n := 0
	for _, s := range t.SignUps {
		if s.State == state {
			n++
		}
	}
	return n
}

// Kept counts the places held for people asked or offered.
func (t Data) Kept() int { return t.Taken(t.Now) - t.Count(signup.Confirmed) }

// Taken counts the places that are taken at a time.
func (t Data) Taken(now time.Time) int {
	taken, _ := signup.CountPlaces(t.SignUps, now)
	return taken
}

// Refused lists what a person is turned away for at the trailhead.
func (t Data) Refused(u format.System) []string {
	water := "Too little water: the amount is set with the plan"
	if t.Plan != nil {
		water = "Less than " + format.Volume(t.Plan.Water.Carry, u) + " of water"
	}
	return append([]string{water}, rules.RefusedFor()...)
}

// OnCall stands for on-call where others are identified by their person on the roll.
const OnCall = string(team.OnCallPart)
