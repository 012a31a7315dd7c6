package roll

import (
	"fmt"
	"strings"

	"saltbush/internal/hike"
	"saltbush/internal/rules"
	"saltbush/internal/supply"
	"saltbush/internal/team"
)

// Grade is how a check at the trailhead came out. What is not known is never fine.
type Grade string

// The grades, the gravest first.
const (
	Block    Grade = "stops"
	NotKnown Grade = "not known"
	Warn     Grade = "look"
	Fine     Grade = "fine"
)

// Check is one thing that is looked at before a party leaves.
type Check struct {
	Title string
	Grade Grade
	// Words say it for the screen; Short says what stands against leaving, for the record.
	Words string
	Short string
}

// Gate is all that is looked at before the party leaves on one route.
type Gate struct {
	Route  Route
	Checks []Check
	// Water says who can go on which route; empty where there is no plan.
	Water WaterAt
}

// GateOf judges the roll as it stands against a departure on a route.
func GateOf(r Record, route Route) Gate {
	s := r.State()
	g := gate{Gate: Gate{Route: route}, state: s, terms: r.Terms, rules: r.Hike.Rules()}
	for _, p := range s.People {
		if p.Where == WhereHere {
			g.here = append(g.here, p)
			g.staff += tick(p.Staff)
		}
	}
	g.complete()
	g.staffed()
	g.permit()
	g.minors()
	g.papers()
	g.onCall(r.Hike)
	g.water()
	return g.Gate
}

// Against lists what stands against leaving, for the record of the departure.
func (g Gate) Against() []string {
	var list []string
	for _, c := range g.Checks {
		if c.Grade == Block {
			list = append(list, c.Short)
		}
	}
	return list
}

// Blocked says why the party may not leave the trailhead without a written reason, ""
// where nothing stops it.
func (g Gate) Blocked() string {
	var list []string
	for _, c := range g.Checks {
		if c.Grade == Block {
			list = append(list, c.Words)
		}
	}
	return strings.Join(list, " ")
}

// Blocked is GateOf for the whole route.
func Blocked(r Record) string { return GateOf(r, RouteFull).Blocked() }

// gate is a gate while its checks are made.
type gate struct {
	Gate
	state State
	terms Terms
	rules rules.Rules
	here  []Person
	staff int
}

func (g *gate) add(title string, grade Grade, words, short string) {
	g.Checks = append(g.Checks, Check{Title: title, Grade: grade, Words: words, Short: short})
}

func (g *gate) complete() {
	if open := g.state.Unmarked(); len(open) > 0 {
		g.add("Roll complete", Block, "No answer yet: "+list(open)+". Mark each here or not here.", "not marked: "+list(open))
		return
	}
	g.add("Roll complete", Fine, fmt.Sprintf("Every name has an answer; %s here.", plural(len(g.here), "person", "people")), "")
}

// staffed holds the trade's two rules: a leader and never fewer than two staff, and the
// ratio of the house for the participants who are here.
func (g *gate) staffed() {
	leader := false
	for _, p := range g.here {
		leader = leader || p.Staff && p.Role == string(team.Leader)
	}
	walkers := len(g.here) - g.staff
	need, fewest, ratio := g.rules.StaffNeeded(walkers), g.rules.FewestStaff, g.rules.Ratio
	switch {
	case !leader:
		g.add("Staff", Block, "The leader is not marked here.", "the leader was not marked here")
	case g.staff < fewest:
		g.add("Staff", Block, fmt.Sprintf("A party needs %d staff at the trailhead; %d marked here.", fewest, g.staff),
			fmt.Sprintf("%d of %d staff", g.staff, fewest))
	case g.staff < need:
		g.add("Staff", Block, fmt.Sprintf("%s need %d staff, 1 to %d; %d are here, for %d walkers at most.",
			plural(walkers, "walker", "walkers"), need, ratio, g.staff, g.staff*ratio),
			fmt.Sprintf("%d staff for %d walkers, %d needed", g.staff, walkers, need))
	default:
		g.add("Staff", Fine, fmt.Sprintf("Leader here, %d staff for %s.", g.staff, plural(walkers, "walker", "walkers")), "")
	}
}

func (g *gate) permit() {
	n, counts := len(g.here), "staff counted"
	if !g.terms.PermitStaff {
		n, counts = n-g.staff, "staff not counted"
	}
	cap := g.terms.PermitCap
	switch {
	case cap == 0:
		g.add("Permit", NotKnown, "No largest party is known for this trail.", "")
	case n > cap:
		g.add("Permit", Block, fmt.Sprintf("The permit allows %d, %s; %d are here.", cap, counts, n), fmt.Sprintf("%d on a permit for %d, %s", n, cap, counts))
	default:
		g.add("Permit", Fine, fmt.Sprintf("%d of the %d that the permit allows, %s.", n, cap, counts), "")
	}
}

func (g *gate) minors() {
	var wrong []string
	of := map[PersonID]int{}
	n := 0
	for _, p := range g.here {
		if !p.Minor {
			continue
		}
		n++
		adult, known := g.state.ResponsibleOf(p.ID)
		switch {
		case !known:
			wrong = append(wrong, p.Name+" has no responsible adult on this hike")
		case adult.Where != WhereHere:
			wrong = append(wrong, fmt.Sprintf("%s: %s, who is responsible, is not here", p.Name, adult.Name))
		default:
			of[adult.ID]++
		}
	}
	for _, p := range g.here {
		if of[p.ID] > g.rules.MinorsPerAdult {
			wrong = append(wrong, fmt.Sprintf("%s answers for %d minors, %d at most", p.Name, of[p.ID], g.rules.MinorsPerAdult))
		}
	}
	switch {
	case len(wrong) > 0:
		g.add("Minors", Block, strings.Join(wrong, ". ")+". Say below who answers for them.", strings.Join(wrong, "; "))
	case n > 0:
		g.add("Minors", Fine, plural(n, "minor", "minors")+", each with an adult who is here.", "")
	}
}

func (g *gate) papers() {
	var wrong []string
	for _, p := range g.here {
		if len(p.Lacks) > 0 {
			wrong = append(wrong, p.Name+": "+strings.Join(p.Lacks, ", "))
		}
	}
	if len(wrong) > 0 {
		g.add("Papers", Block, strings.Join(wrong, ". ")+".", strings.Join(wrong, "; "))
		return
	}
	if len(g.here) == 0 {
		g.add("Papers", NotKnown, "Nobody is marked here yet.", "")
		return
	}
	g.add("Papers", Fine, "Everyone has an emergency contact and has accepted the risks.", "")
}

func (g *gate) onCall(h hike.Hike) {
	name := h.OnCall.Name
	if name == "" {
		g.add("On call", Block, "Nobody is named as on call: an alarm that nobody answers is worth nothing.", "nobody on call")
		return
	}
	if h.OnCallAccepted.IsZero() {
		g.add("On call", Warn, name+" is named and has not said yes. Ring them before you leave.", name+" has not said yes to being on call")
		return
	}
	g.add("On call", Fine, name+" is on call.", "")
}

// water judges the chosen route. A need that the plan does not name, and water that nobody
// has seen, are not known.
func (g *gate) water() {
	if !g.terms.Planned {
		g.add("Water", NotKnown, "There is no plan: no need of water, no watch time, no call time.", "")
		return
	}
	w, err := Waters(g.state, g.terms.Full, g.terms.Short)
	if err != nil {
		g.add("Water", NotKnown, "The water as written cannot be shared out: "+err.Error()+".", "")
		return
	}
	g.Water = w
	need, shared := g.terms.Full.Need, w.OnFull
	if g.Route == RouteShort && g.terms.Short != nil {
		need, shared = g.terms.Short.Need, w.OnShort
	}
	if len(shared.Stay) > 0 {
		g.add("Water", Block, fmt.Sprintf("%s each are needed. Not enough even with the car's spare water: %s.%s",
			litres(need), list(shared.Stay), handed(shared)), "too little water: "+list(shared.Stay))
		return
	}
	switch {
	case len(w.Unknown) > 0:
		g.add("Water", NotKnown, fmt.Sprintf("%s each are needed. Nobody has looked at the water of %s.%s", litres(need), list(w.Unknown), handed(shared)), "")
	case handed(shared) != "":
		g.add("Water", Warn, litres(need)+" each are needed."+handed(shared), "")
	default:
		g.add("Water", Fine, litres(need)+" each are needed, and everyone has them.", "")
	}
}

// handed says who gets how much from the car.
func handed(s supply.Sharing) string {
	var parts []string
	for _, p := range s.Go {
		if p.Takes > 0 {
			parts = append(parts, p.Name+" "+litres(p.Takes))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " From the car to: " + strings.Join(parts, ", ") + "."
}

func list(names []string) string { return strings.Join(names, ", ") }

// Unmarked lists the names that are neither here, absent nor turned away.
func (s State) Unmarked() []string {
	var names []string
	for _, p := range s.People {
		if p.Where == WhereExpected {
			names = append(names, p.Name)
		}
	}
	return names
}
