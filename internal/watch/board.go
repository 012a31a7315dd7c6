package watch

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// Names are the words of a hike that a line of the board shows.
type Names struct {
	Hike                          ref.Hike
	Title, Trail                  string
	Leader, Sweep, OnCall, Deputy string
}

// Party is one line of the coordinators' board.
type Party struct {
	Names
	Promise Promise
	Times   Times
	Phase   Phase
	// Expected is how many a count should give; OnTrail is how many are out or have left
	// early without being confirmed.
	Expected, OnTrail int
	// LastCount is the latest count; nil while nobody has counted.
	LastCount *party.Count
	// Next is the next step of the ladder and ToNext the time until then; both are zero
	// where no clock runs.
	Next   Rung
	ToNext time.Duration
	// Passed are the limits of heat, light and water that the party is out beyond.
	Passed []Limit
	// StillNormal is how likely an ordinary walk lasts as long as this one has.
	StillNormal unit.Fraction
	// Outlook is the return as it looks from the trail, Concern what it adds in words.
	Outlook Outlook
	Concern string
	// Flags are the open ones, grave ones first. Missing are the names not accounted for.
	Flags   []party.Flag
	Missing []string
}

// Line makes the line of one hike at a moment.
func Line(n Names, p Promise, s party.State, now time.Time) Party {
	t := TimesFor(p, s)
	line := Party{Names: n, Promise: p, Times: t, Phase: PhaseAt(now, t, s), Expected: s.Expected,
		OnTrail: len(s.OnTrail()) + s.Unnamed, Flags: graveFirst(s.OpenFlags()), Missing: s.Missing()}
	if c, counted := s.LastCount(); counted {
		line.LastCount = &c
	}
	if !line.clockRuns() {
		return line
	}
	if next, more := Next(Ladder(t, n.Deputy != ""), now); more {
		line.Next, line.ToNext = next, next.At.Sub(now)
	}
	if line.Phase != NotOut {
		line.Passed = passed(p, now)
		line.Outlook = CurrentEstimate(p, s, now)
		line.StillNormal = stillNormal(p, line.Outlook, t, s, now)
		line.Concern = line.Outlook.Concern(t, now)
	}
	return line
}

// stillNormal asks the outlook, and the promise where its spread gives none.
func stillNormal(p Promise, o Outlook, t Times, s party.State, now time.Time) unit.Fraction {
	if o.Known() {
		return o.StillNormal(now)
	}
	return p.StillNormal(now.Sub(t.Start) - s.Delay)
}

func (l Party) clockRuns() bool { return l.Phase != Back && l.Phase != StoodDown }

func passed(p Promise, now time.Time) []Limit {
	return slices.DeleteFunc(p.Limits(), func(l Limit) bool { return now.Before(l.At) })
}

func graveFirst(flags []party.Flag) []party.Flag {
	slices.SortStableFunc(flags, func(a, b party.Flag) int { return grave(b) - grave(a) })
	return flags
}

func grave(f party.Flag) int {
	if f.Grave {
		return 1
	}
	return 0
}

// SortByUrgency orders the board: the phase first, then grave flags, then concern about the
// pace, then the shortest time to the call for help, then the title.
func SortByUrgency(lines []Party) {
	slices.SortStableFunc(lines, func(a, b Party) int {
		return cmp.Or(
			b.Phase.Urgency()-a.Phase.Urgency(),
			b.graveFlags()-a.graveFlags(),
			b.concerns()-a.concerns(),
			a.Times.Call.Compare(b.Times.Call),
			cmp.Compare(a.Title, b.Title),
			cmp.Compare(a.Hike, b.Hike),
		)
	})
}

func (l Party) graveFlags() int {
	if len(l.Flags) > 0 && l.Flags[0].Grave {
		return 1
	}
	return 0
}

func (l Party) concerns() int {
	if l.Concern != "" {
		return 1
	}
	return 0
}
