package hike

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// Facts are what people were told of a hike at one time. A zero figure is not known.
type Facts struct {
	Title, Trail, Meeting string
	Meet, Start           time.Time
	Turn                  string // where it turns back early
	Distance              unit.Length
	Ascent                *unit.Length // nil where the track has no heights
	Expected, Latest      time.Time    // back at the trailhead
	Water                 unit.Volume  // each
}

// FactsOf returns the facts of a hike as it is planned.
func FactsOf(t Data) Facts {
	f := Facts{Title: t.Hike.Title, Trail: t.Trail.Name, Meeting: t.Trail.Meeting, Meet: t.Hike.Meet,
		Start: t.Hike.Start, Turn: t.Hike.Turn.Where(), Distance: t.Trail.Profile.Length}
	if t.Trail.Profile.HasElevation {
		f.Ascent = &t.Trail.Profile.Ascent
	}
	if t.Plan != nil {
		f.Expected, f.Latest, f.Water = t.Clocks.Expected, t.Clocks.Latest, t.Plan.Water.Carry
	}
	return f
}

// Planned reports whether the return and the water are known.
func (f Facts) Planned() bool { return f.Water > 0 }

// Changed is one fact that is different, as text. What was not known is "".
type Changed struct{ What, Was, Is string }

// Says is the change in a sentence.
func (c Changed) Says() string {
	return fmt.Sprintf("%s: %s, no longer %s.", c.What, format.OrElse(c.Is, format.Unknown),
		format.OrElse(c.Was, format.Unknown))
}

// Changes lists what is different between two versions of a hike's facts, in the order in which
// people need it. Write writes a figure in the reader's units.
func Changes(was, is Facts, zone *time.Location, write func(func(format.System) string) string) []Changed {
	var list []Changed
	compare := func(what string, of func(Facts) string) {
		if a, b := of(was), of(is); a != b {
			list = append(list, Changed{what, a, b})
		}
	}
	clock := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return format.Clock(t, zone)
	}
	compare("Day", func(f Facts) string { return format.Day(f.Start, zone) })
	compare("Meet", func(f Facts) string { return clock(f.Meet) })
	compare("We leave", func(f Facts) string { return clock(f.Start) })
	compare("Trail", func(f Facts) string { return f.Trail })
	compare("Where", func(f Facts) string { return f.Meeting })
	compare("Walk", func(f Facts) string { return turnWords(f.Turn) })
	compare("Distance", func(f Facts) string {
		return write(func(u format.System) string { return format.Length(f.Distance, u) })
	})
	compare("Climb", func(f Facts) string { return climbWords(f.Ascent, write) })
	compare("Back", func(f Facts) string { return backWords(clock(f.Expected), clock(f.Latest)) })
	compare("Water each", func(f Facts) string { return waterWords(f, write) })
	compare("Name of the hike", func(f Facts) string { return f.Title })
	return list
}

func turnWords(at string) string {
	if at == "" {
		return "the whole trail"
	}
	return "to " + at + " and back"
}

func climbWords(up *unit.Length, write func(func(format.System) string) string) string {
	if up == nil {
		return ""
	}
	return write(func(u format.System) string { return format.Height(*up, u) })
}

func backWords(expected, late string) string {
	if expected == "" {
		return ""
	}
	return "between " + expected + " and " + late
}

func waterWords(f Facts, write func(func(format.System) string) string) string {
	if !f.Planned() {
		return ""
	}
	return write(func(u format.System) string { return format.Volume(f.Water, u) })
}

// InBothUnits writes figures for readers whose units are not known.
func InBothUnits(one func(format.System) string) string {
	return one(format.Metric) + " (" + one(format.US) + ")"
}

// InUnits writes figures in one system of units.
func InUnits(u format.System) func(func(format.System) string) string {
	return func(one func(format.System) string) string { return one(u) }
}

// Change is a decision that changed the walk.
type Change struct {
	At     time.Time `json:",omitzero"`
	Words  string    `json:",omitempty"`
	Reason string    `json:",omitempty"`
	Was    Facts     `json:",omitzero"` // before the decision
}

// NewChange returns the change that a decision makes to a hike as it was before.
func NewChange(d Decision, before Data) Change {
	return Change{At: d.At, Words: d.Says(), Reason: d.Reason, Was: FactsOf(before)}
}

// Made reports whether there was one.
func (c Change) Made() bool { return !c.At.IsZero() }

// Since reports whether the change was made after a time.
func (c Change) Since(at time.Time) bool { return c.Made() && c.At.After(at) }

// Our judgment: less than a tenth more is within what people do on any day.
const moreThan = 1.1

// AsksMore lists the ways in which the walk asks more of people than before, each a clause:
// a harder class, more water, or a tenth more distance or climb. Whoever has a place then has
// to agree.
func AsksMore(before, after Data) []string {
	var more []string
	was, is := FactsOf(before), FactsOf(after)
	if after.Trail.HarderThan(before.Trail) {
		class := "not known"
		if after.Trail.Profile.HasElevation {
			class = string(after.Trail.Rating().Class)
		}
		more = append(more, "its class is "+class)
	}
	if was.Planned() && is.Water > was.Water {
		more = append(more, "it needs more water: "+waterWords(is, InBothUnits)+" each")
	}
	if is.Distance > was.Distance*moreThan {
		more = append(more, "it is longer: "+format.Both(format.Length, is.Distance))
	}
	// Our judgment: a climb of less than 50 m makes no walk harder, however much it grew.
	if is.Ascent != nil && was.Ascent != nil && *is.Ascent > max(*was.Ascent*moreThan, 50*unit.Metre) {
		more = append(more, "it climbs more: "+format.Both(format.Height, *is.Ascent))
	}
	return more
}

// AskAgain returns the place as a walk that asks more leaves it. If the new walk is a reason for
// a talk that the old one was not, the talk comes first, and the place is kept until the start.
// Otherwise a confirmed place is kept until its person agrees.
func AskAgain(p signup.SignUp, before, after Data) signup.SignUp {
	h := after.Hike
	known := map[string]bool{}
	for _, why := range signup.TalkFirst(p, before.Trail, before.Plan, h.Rules()) {
		known[why] = true
	}
	talk := signup.TalkFirst(p, after.Trail, after.Plan, h.Rules())
	news := false
	for _, why := range talk {
		news = news || !known[why]
	}
	holds := p.HoldsPlace(after.Now)
	switch {
	case news || p.State == signup.Asked:
		p.Screening = signup.Screening{Talk: talk}
		if p.State = signup.Asked; holds {
			p.HeldUntil = h.Start
		}
	case p.State == signup.Confirmed:
		p.State = signup.Offered
	}
	return p
}
