package party

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/unit"
)

// What is recorded of a departure without anybody on call who can be reached.
const shortNobody, shortUnreached = "nobody on call", "no alarm can reach "

// WithoutOnCall reports whether the party left although no alarm could reach anybody on call.
func (d Departure) WithoutOnCall() bool {
	for _, rule := range d.Against {
		if rule == shortNobody || strings.HasPrefix(rule, shortUnreached) {
			return true
		}
	}
	return false
}

// OnCallGap says why no alarm can reach anybody on call, "" if one can reach the named contact.
func OnCallGap(name string, reached bool) string {
	switch {
	case name == "":
		return "Nobody is named as on call, so nobody would answer an alarm."
	case !reached:
		return "No alarm can reach " + name + ", the on-call contact: add a mail address, or a complete phone number " +
			"and their yes."
	}
	return ""
}

func (g *gate) checkOnCall() {
	name := g.terms.OnCall
	gap := OnCallGap(name, g.terms.OnCallReached)
	short := shortUnreached + name
	if name == "" {
		short = shortNobody
	}
	switch {
	case gap != "" && g.terms.OnCallOverride != "":
		g.Checks = append(g.Checks, Check{
			Title: "On call", Grade: Warn, Words: gap + " Approved anyway by " + g.terms.OnCallOverride + ".",
			Short: short, Override: g.terms.OnCallOverride,
		})
	case gap != "":
		g.add("On call", Block, gap, short)
	case !g.terms.OnCallAgreed:
		g.add("On call", Warn, name+" is named but has not said yes. Call them before you leave.",
			name+" has not said yes to being on call")
	default:
		g.add("On call", Fine, name+" is on call.", "")
	}
}

// checkDecision asks for the decision whether the hike goes, which is taken on the forecast of the
// day.
func (g *gate) checkDecision() {
	switch made := g.terms.Decision; {
	case made == "":
		g.add("Decision", Block, "Nobody has decided whether this hike goes. Decide on the hike's page, or write "+
			"below why you leave anyway.", "nobody had decided that it goes")
	case g.terms.DecidedEarly:
		g.add("Decision", Warn, made+" Check the forecast again: the decision was made more than a day before the "+
			"start.", "")
	default:
		g.add("Decision", Fine, made, "")
	}
}

// checkTime asks whether a party that leaves at a time is off the trail before heat or darkness. A
// late start makes the return later and moves no limit.
func (g *gate) checkTime(at time.Time) {
	way, off := g.terms.wayOf(g.Route), g.terms.Off
	if off.IsZero() || way.Late <= 0 {
		return
	}
	clock := func(t time.Time) string { return t.In(off.Location()).Format("15:04") }
	back := unit.UpToMinute(at.Add(way.Late))
	words := fmt.Sprintf("A party that leaves at %s is back by %s (nine in ten are). Everybody must be off the trail "+
		"by %s", clock(at), clock(back), clock(off))
	if !back.After(off) {
		g.add("Time", Fine, words+".", "")
		return
	}
	words += " (" + g.terms.OffBecause + "). Do not "
	if short := g.terms.Short; g.Route != RouteShort && short != nil {
		words += "take the full route. "
		if by := unit.UpToMinute(at.Add(short.Late)); short.Late > 0 && !by.After(off) {
			words += fmt.Sprintf("The short option%s is back by %s.", short.TurnsAt(), clock(by))
		} else {
			words += "It is too late for the short option too."
		}
	} else {
		words += "go."
	}
	g.add("Time", Block, words, "it was too late to be off the trail by "+clock(off))
}
