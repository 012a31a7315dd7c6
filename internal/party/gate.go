package party

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Grade is the result of a check at the trailhead. An unknown never counts as fine.
type Grade string

// The grades, the gravest first.
const (
	Block    Grade = "stops"
	NotKnown Grade = "not known"
	Warn     Grade = "look"
	Fine     Grade = "fine"
)

// Check is one check before a party leaves.
type Check struct {
	Title string
	Grade Grade
	// Words describes the result for the screen. Short says what is wrong, for the record of
	// the departure; it is empty unless the grade is Block or Warn.
	Words string
	Short string
	// Override says who lets the party go although the check stops it, and why.
	Override string
}

// Gate is all checks before the party leaves on one route.
type Gate struct {
	Route  Route
	Checks []Check
	// Water says who can go on which route; it is empty without a plan.
	Water WaterAt
}

// GateOf checks whether the party may leave on a route at a time, from the roll as it stands.
func GateOf(s State, terms Terms, route Route, at time.Time) Gate {
	g := gate{Gate: Gate{Route: route}, state: s, terms: terms}
	for _, p := range s.People {
		if p.Where != WhereHere {
			continue
		}
		g.here = append(g.here, p)
		if p.Staff {
			g.staff++
		}
	}
	g.checkRollCall()
	g.checkStaff()
	g.checkPermit()
	g.checkMinors()
	g.checkPapers()
	g.checkDecision()
	g.checkOnCall()
	g.checkTime(at)
	g.checkWater()
	return g.Gate
}

// Our judgment: a departure lists as many broken rules as fit a line of the log, each of them no
// longer in bytes than a line of an event may be.
const maxAgainst, maxRule = 12, 200

// Against lists what blocks the departure, or would without an override, for its record.
func (g Gate) Against() []string {
	var list []string
	for _, c := range g.Checks {
		if c.Grade == Block || c.Override != "" {
			list = append(list, cut(c.Short))
		}
	}
	return list[:min(len(list), maxAgainst)]
}

// Override is the reason of a departure for which nobody wrote one at the trailhead.
func (g Gate) Override() string {
	for _, c := range g.Checks {
		if c.Override != "" {
			return c.Override
		}
	}
	return ""
}

func cut(rule string) string {
	if len(rule) <= maxRule {
		return rule
	}
	return strings.ToValidUTF8(rule[:maxRule-3], "") + "..."
}

// JoinAgainst adds to the rules that a departure broke by one judgment those by another.
func JoinAgainst(one, other []string) []string {
	out := slices.Clone(one)
	for _, rule := range other {
		if !slices.Contains(out, rule) {
			out = append(out, rule)
		}
	}
	return out[:min(len(out), maxAgainst)]
}

// Blocked says why the party may not leave the trailhead without a written reason, "" if
// nothing blocks it.
func (g Gate) Blocked() string {
	var list []string
	for _, c := range g.Checks {
		if c.Grade == Block {
			list = append(list, c.Words)
		}
	}
	return strings.Join(list, " ")
}

// gate is a Gate with what its checks need.
type gate struct {
	Gate
	state State
	terms Terms
	here  []Person
	staff int // of those who are here
}

func (g *gate) add(title string, grade Grade, words, short string) {
	g.Checks = append(g.Checks, Check{Title: title, Grade: grade, Words: words, Short: short})
}

func (g *gate) checkRollCall() {
	for _, f := range g.state.OpenFlags() {
		if f.Kind == FlagPresence {
			g.add("Roll call", Block, f.Words+".", f.Words)
		}
	}
	if open := g.state.Unmarked(); len(open) > 0 {
		g.add("Roll complete", Block, "No answer yet: "+list(open)+". Mark each here or not here.",
			"not marked: "+list(open))
		return
	}
	words := fmt.Sprintf("Every name has an answer; %s here.", PeopleWords(len(g.here)))
	g.add("Roll complete", Fine, words, "")
}

// checkStaff holds the rules on staff: a leader, a minimum number of staff, and the house's
// ratio for the participants who are here.
func (g *gate) checkStaff() {
	walkers := len(g.here) - g.staff
	need, fewest, ratio := g.terms.staffNeeded(walkers), g.terms.FewestStaff, g.terms.Ratio
	switch {
	case !g.leaderHere():
		g.add("Staff", Block, "The leader is not marked here.", "the leader was not marked here")
	case g.staff < fewest:
		g.add("Staff", Block,
			fmt.Sprintf("A party needs %d staff at the trailhead; %d marked here.", fewest, g.staff),
			fmt.Sprintf("%d of %d staff", g.staff, fewest))
	case g.staff < need:
		g.add("Staff", Block,
			fmt.Sprintf("%s need %d staff, 1 for every %d; %d are here, enough for %d walkers.",
				countWords(walkers, "walker", "walkers"), need, ratio, g.staff, g.staff*ratio),
			fmt.Sprintf("%d staff for %d walkers, %d needed", g.staff, walkers, need))
	default:
		words := fmt.Sprintf("Leader here, %d staff for %s.", g.staff, countWords(walkers, "walker", "walkers"))
		g.add("Staff", Fine, words, "")
	}
}

func (g *gate) leaderHere() bool {
	for _, p := range g.here {
		if p.Staff && p.Role == roleLeader {
			return true
		}
	}
	return false
}

func (g *gate) checkPermit() {
	n, counts := len(g.here), "staff counted"
	if !g.terms.PermitStaff {
		n, counts = n-g.staff, "staff not counted"
	}
	most := g.terms.PermitCap
	switch {
	case most == 0:
		g.add("Permit", NotKnown, "No largest party is known for this trail.", "")
	case n > most:
		g.add("Permit", Block, fmt.Sprintf("The permit allows %d, %s; %d are here.", most, counts, n),
			fmt.Sprintf("%d on a permit for %d, %s", n, most, counts))
	default:
		g.add("Permit", Fine, fmt.Sprintf("%d of the %d that the permit allows, %s.", n, most, counts), "")
	}
}

func (g *gate) checkMinors() {
	problems, minors := g.minorProblems()
	switch {
	case len(problems) > 0:
		g.add("Minors", Block, strings.Join(problems, ". ")+". Say below who is responsible for them.",
			strings.Join(problems, "; "))
	case minors > 0:
		g.add("Minors", Fine, countWords(minors, "minor", "minors")+", each with an adult who is here.", "")
	}
}

// minorProblems lists minors without a responsible adult here, and adults responsible for
// too many. It also counts the minors who are here.
func (g *gate) minorProblems() (problems []string, minors int) {
	inChargeOf := map[PersonID]int{}
	for _, p := range g.here {
		if !p.Minor {
			continue
		}
		minors++
		adult, known := g.state.ResponsibleOf(p.ID)
		switch {
		case !known:
			problems = append(problems, p.Name+" has no responsible adult on this hike")
		case adult.Where != WhereHere:
			problems = append(problems, fmt.Sprintf("%s: %s, who is responsible, is not here", p.Name, adult.Name))
		default:
			inChargeOf[adult.ID]++
		}
	}
	for _, p := range g.here {
		if n := inChargeOf[p.ID]; n > g.terms.MinorsPerAdult {
			problems = append(problems,
				fmt.Sprintf("%s is responsible for %d minors, %d at most", p.Name, n, g.terms.MinorsPerAdult))
		}
	}
	return problems, minors
}

func (g *gate) checkPapers() {
	var lacking []string
	for _, p := range g.here {
		if len(p.Lacks) > 0 {
			lacking = append(lacking, p.Name+": "+list(p.Lacks))
		}
	}
	switch {
	case len(lacking) > 0:
		g.add("Papers", Block, strings.Join(lacking, ". ")+".", strings.Join(lacking, "; "))
	case len(g.here) == 0:
		g.add("Papers", NotKnown, "Nobody is marked here yet.", "")
	default:
		g.add("Papers", Fine, "Everyone has an emergency contact and has accepted the risks.", "")
	}
}

// checkWater checks the chosen route. Without a plan the need is not known, and neither is
// water that nobody has looked at.
func (g *gate) checkWater() {
	if !g.terms.Planned {
		g.add("Water", NotKnown, "There is no plan, so the water needed, the watch time and the call time are not "+
			"known.", "")
		return
	}
	w, err := Waters(g.state, g.terms.Full, g.terms.Short)
	if err != nil {
		g.add("Water", NotKnown, "The water as written cannot be shared out: "+err.Error()+".", "")
		return
	}
	g.Water = w
	way, shared := g.terms.wayOf(g.Route), w.OnFull
	if g.Route == RouteShort && g.terms.Short != nil {
		shared = w.OnShort
	}
	need, fromCar := litreWords(way.Need)+" each is needed", fromCarWords(shared)
	switch {
	case len(shared.Stay) > 0:
		g.add("Water", Block, need+". Not enough even with the car's spare water: "+list(shared.Stay)+"."+fromCar,
			"too little water: "+list(shared.Stay))
	case len(w.Unknown) > 0:
		g.add("Water", NotKnown, need+". Nobody has looked at the water of "+list(w.Unknown)+"."+fromCar, "")
	case fromCar != "":
		g.add("Water", Warn, need+"."+fromCar, "")
	default:
		g.add("Water", Fine, need+", and everyone has it.", "")
	}
}

// fromCarWords says who gets how much of the stock in the car, "" if nobody does.
func fromCarWords(s Sharing) string {
	var parts []string
	for _, p := range s.Go {
		if p.Takes > 0 {
			parts = append(parts, p.Name+" "+litreWords(p.Takes))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " From the car to: " + list(parts) + "."
}

func list(names []string) string { return strings.Join(names, ", ") }

// listAnd writes "Ann, Bea and Cy".
func listAnd(names []string) string {
	if len(names) < 2 {
		return list(names)
	}
	return list(names[:len(names)-1]) + " and " + names[len(names)-1]
}
