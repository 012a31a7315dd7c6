package party

import "strings"

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
