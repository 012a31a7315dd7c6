package hike

import (
	"context"
	"errors"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// Where says where people meet and how to get there: a hike that moved meets elsewhere.
func (t Data) Where() string {
	words := strings.TrimSuffix(t.Trail.Name+": "+strings.TrimSpace(t.Trail.Meeting), ": ")
	if s := t.Trail.Profile.Samples; len(s) > 0 {
		words += " (" + format.Position(s[0].At) + ")"
	}
	return words
}

// Finish says when the hike is back, as the notice does; "" where nobody knows yet.
func (t Data) Finish() string {
	if t.Plan == nil {
		return ""
	}
	return "between " + format.Clock(t.Back(t.Plan.Time.P50), t.Zone()) + " and " + format.Clock(t.Back(t.Plan.Time.P90), t.Zone())
}

// Back is the hike's start and a time on the trail, up to the minute as the plan says it.
func (t Data) Back(took plan.Seconds) time.Time {
	return t.Hike.Start.Add(took.Duration() + time.Minute - 1).Truncate(time.Minute)
}

// Held is until when a place is kept, in words; "" where none is.
func Held(h Hike, p signup.SignUp) string {
	if p.HeldUntil.IsZero() {
		return ""
	}
	return format.Moment(p.HeldUntil, h.Start.Location())
}

// Data is everything that pages about one hike are made of.
type Data struct {
	Hike    Hike
	Trail   trail.Trail
	Plan    *plan.Plan // nil where there is none
	Stored  StoredPlan
	SignUps []signup.SignUp
	Now     time.Time
}

// DataStore is what LoadData reads from. Its methods are those of Store.
type DataStore interface {
	Trail(ctx context.Context, id ref.Trail) (trail.Trail, error)
	SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error)
	LatestPlan(ctx context.Context, id ref.Hike) (StoredPlan, error)
}

// LoadData loads what the pages and mails of one hike need.
func LoadData(ctx context.Context, store DataStore, h Hike, now time.Time) (Data, error) {
	t := Data{Hike: h, Now: now}
	var err error
	if t.Trail, err = store.Trail(ctx, h.Trail); err != nil {
		return t, err
	}
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

func (t Data) Zone() *time.Location { return t.Trail.Location() }

func (t Data) Count(state signup.State) int {
	n := 0
	for _, s := range t.SignUps {
		if s.State == state {
			n++
		}
	}
	return n
}

// Kept counts the people asked or offered, each with a place in the drawer.
func (t Data) Kept() int { return t.Taken(t.Now) - t.Count(signup.Confirmed) }

// Taken counts the places that nobody else can have.
func (t Data) Taken(now time.Time) int {
	n := 0
	for _, s := range t.SignUps {
		if s.HoldsPlace(now) {
			n++
		}
	}
	return n
}

func (t Data) Refused(u format.System) []string {
	water := "Too little water: the amount is set with the plan"
	if t.Plan != nil {
		water = "Less than " + format.Volume(t.Plan.Water.Carry, u) + " of water"
	}
	return append([]string{water}, rules.RefusedFor()...)
}

// OnCall names the asking of on-call where others are named by their person on the roll.
const OnCall = string(team.OnCallPart)

func MemberOf(h Hike, account ref.Account) (team.Staff, bool) {
	for _, m := range h.Staff {
		if m.Account == account {
			return m, true
		}
	}
	return team.Staff{}, false
}
