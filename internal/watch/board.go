package watch

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// Names are the names that a line of the board shows.
type Names struct {
	Hike                          ref.Hike
	Title, Trail                  string
	Leader, Sweep, OnCall, Deputy string
}

// BoardLine is one line of the coordinators' board: one hike at one moment.
type BoardLine struct {
	Names
	Promise Promise
	Times   Times
	Phase   Phase
	// Expected is what a count should give. OnTrail is how many are out, or left early and
	// are not confirmed.
	Expected, OnTrail int
	// LastCount is the latest count, nil if nobody has counted.
	LastCount *party.Count
	// Next is the next step of the ladder and ToNext the time until then. Both are zero if no
	// clock runs.
	Next   Rung
	ToNext time.Duration
	// Passed are the limits of heat, light and water that the party is out beyond.
	Passed []Limit
	// StillNormal is how likely it is that an ordinary walk takes as long as this one has.
	StillNormal unit.Fraction
	// Outlook estimates the return from the trail. Concern is what it adds, in words.
	Outlook Outlook
	Concern string
	// Alarms are those that run: searches, and groups that left early.
	Alarms []Alarm
	// Flags are the open ones, the grave ones first. Missing are the names not accounted for.
	Flags   []party.Flag
	Missing []string
}

// NewBoardLine makes the line of one case at a moment.
func NewBoardLine(c Case, now time.Time) BoardLine {
	p, s, t := c.Promise, c.State, c.Times
	line := BoardLine{
		Names: c.Names(), Promise: p, Times: t, Phase: c.Phase(now), Expected: s.Expected,
		OnTrail: len(s.OnTrail()) + s.Unnamed, Flags: s.Warnings(), Missing: s.Missing(),
	}
	for _, a := range c.Alarms() {
		if a.Running() && !now.Before(a.Began) {
			line.Alarms = append(line.Alarms, a)
		}
	}
	if c, counted := s.LastCount(); counted {
		line.LastCount = &c
	}
	if !line.clockRuns() {
		return line
	}
	if next, more := c.Next(now); more {
		line.Next, line.ToNext = next, next.At.Sub(now)
	}
	if line.Phase != NotOut {
		line.Passed = passedLimits(p, now)
		line.Outlook = CurrentEstimate(p, s, now)
		line.StillNormal = stillNormal(p, line.Outlook, t, s, now)
		line.Concern = line.Outlook.Concern(t, now)
	}
	return line
}

// stillNormal asks the outlook, or the promise if there is no outlook.
func stillNormal(p Promise, o Outlook, t Times, s party.State, now time.Time) unit.Fraction {
	if o.Known() {
		return o.StillNormal(now)
	}
	return p.StillNormal(now.Sub(t.Start) - s.Delay)
}

func (l BoardLine) clockRuns() bool { return l.Phase != Back && l.Phase != StoodDown }

func passedLimits(p Promise, now time.Time) []Limit {
	return slices.DeleteFunc(p.Limits(), func(l Limit) bool { return now.Before(l.At) })
}

// SortByUrgency sorts the board by phase, then grave flags, then concern about the pace,
// then the time of the call for help, then title.
func SortByUrgency(lines []BoardLine) {
	slices.SortStableFunc(lines, func(a, b BoardLine) int {
		return cmp.Or(
			b.Phase.Urgency()-a.Phase.Urgency(),
			oneIf(b.hasGraveFlag())-oneIf(a.hasGraveFlag()),
			oneIf(b.Concern != "")-oneIf(a.Concern != ""),
			a.Times.Call.Compare(b.Times.Call),
			cmp.Compare(a.Title, b.Title),
			cmp.Compare(a.Hike, b.Hike),
		)
	})
}

func (l BoardLine) hasGraveFlag() bool { return len(l.Flags) > 0 && l.Flags[0].Grave }

// oneIf is 1 if b is true, else 0.
func oneIf(b bool) int {
	if b {
		return 1
	}
	return 0
}
