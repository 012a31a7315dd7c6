package trail

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/unit"
)

// ScoutReport is what somebody found who walked a trail.
type ScoutReport struct {
	ID         int64
	Trail      ref.Trail
	Walked     unit.Date
	By         string
	Times      string // how long it took, in their words
	Conditions string
	Hazards    string
	Noted      time.Time
}

// Validate returns an Invalid that lists each fault of a report written today.
func (s ScoutReport) Validate(today unit.Date) error {
	v := fault.Invalid{}
	v.Require("scout_by", s.By, 120, "Say who walked it.")
	v.Require("conditions", s.Conditions, 2000, "Say how the way is: footing, water, signs, shade.")
	switch {
	case s.Walked.IsZero():
		v.Add("walked", "Give the day it was walked, such as 2027-03-14.")
	case today.Before(s.Walked):
		v.Add("walked", "That day has not come yet.")
	}
	v.AtMost("times", s.Times, 500)
	v.AtMost("hazards", s.Hazards, 2000)
	return v.Err()
}

// Closure is a time when a trail, or part of it, is closed.
type Closure struct {
	ID    int64
	Trail ref.Trail
	From  unit.Date
	To    unit.Date // the last day; zero until further notice
	Why   string
	// Source is who said so.
	Source string
	// Blocks means that no hike may go there. Otherwise the closure is a caution.
	Blocks bool
	By     string
	Noted  time.Time
}

// Validate returns an Invalid that lists each fault.
func (c Closure) Validate() error {
	v := fault.Invalid{}
	v.Require("why", c.Why, 500, "Say what is closed and why.")
	v.Require("source", c.Source, 200, "Say whose word it is: the land manager's page, a call, a sign.")
	if c.From.IsZero() {
		v.Add("from_day", "Give the first day, such as 2027-03-14.")
	}
	if !c.To.IsZero() && c.To.Before(c.From) {
		v.Add("to_day", "The last day is before the first.")
	}
	return v.Err()
}

// On reports whether the trail is closed on a day.
func (c Closure) On(d unit.Date) bool {
	return !d.Before(c.From) && (c.To.IsZero() || !c.To.Before(d))
}

// Ground is what is known about the present condition of a trail.
type Ground struct {
	Scouts   []ScoutReport // the latest walk first
	Closures []Closure     // by their first day
}

// ClosedOn lists the closures on a day, those that block first.
func (g Ground) ClosedOn(d unit.Date) []Closure {
	var block, caution []Closure
	for _, c := range g.Closures {
		switch {
		case c.On(d) && c.Blocks:
			block = append(block, c)
		case c.On(d):
			caution = append(caution, c)
		}
	}
	return append(block, caution...)
}

// Closed says why no hike may go there on a day; "" if no closure blocks it.
func (g Ground) Closed(d unit.Date) string {
	if list := g.ClosedOn(d); len(list) > 0 && list[0].Blocks {
		return fmt.Sprintf("The trail is closed that day: %s (%s). The land manager's word is final.",
			list[0].Why, list[0].Source)
	}
	return ""
}

// Scouted is how far a scout report can be relied on.
type Scouted string

// The values of Scouted.
const (
	NotScouted   Scouted = "not scouted"
	ScoutedStale Scouted = "too long ago"
	ScoutedFresh Scouted = "scouted"
)

// ScoutedFor judges the latest report for the day of a hike. It also returns the report and its
// age on that day, in days.
func (g Ground) ScoutedFor(d unit.Date, r rules.Rules) (Scouted, ScoutReport, int) {
	if len(g.Scouts) == 0 {
		return NotScouted, ScoutReport{}, 0
	}
	last := g.Scouts[0]
	age := last.Walked.Until(d)
	if time.Duration(age)*rules.Day > r.ScoutStands(d.Time()) {
		return ScoutedStale, last, age
	}
	return ScoutedFresh, last, age
}

// GroundStore stores scout reports and closures.
type GroundStore interface {
	// Ground loads the reports and closures of a trail.
	Ground(ctx context.Context, id ref.Trail) (Ground, error)
	AddScoutReport(ctx context.Context, s ScoutReport) error
	AddClosure(ctx context.Context, c Closure) error
	// RemoveClosure removes a closure of that trail.
	RemoveClosure(ctx context.Context, trail ref.Trail, id int64) error
}
