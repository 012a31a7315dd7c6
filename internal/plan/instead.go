package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// instead says what would make a plan a go, or less grave: another start, or a shorter way.
func (e results) instead(p Plan) []string {
	out := []string{}
	if p.Verdict.Decision == Go {
		return out
	}
	out = append(out, startInstead(p.Window, e.met.start, p.Verdict.Decision, p.Official.Strict())...)
	if p.Short != nil {
		out = append(out, shortInstead(*p.Short))
	}
	return out
}

// startInstead is empty where the start lies in the window, and something else is wrong.
func startInstead(w StartWindow, start time.Time, d Decision, strict bool) []string {
	switch {
	case len(w.Starts) == 0:
		return []string{"No start on this day fits the whole route between first and last light."}
	case w.Earliest.IsZero():
		words := fmt.Sprintf("No start on this day passes for the whole route; the least bad is %s.",
			clock(w.Best.Time))
		if by := lastMilder(w, start); d == Cancel && !by.IsZero() {
			words += fmt.Sprintf(" By %s the advice is change, no longer cancel.", clock(by.Time))
		}
		if c := w.Care; c != nil {
			words += fmt.Sprintf(careWords(strict), clock(c.Earliest.Time), clock(c.Latest.Time))
		}
		return []string{words}
	case start.After(w.Latest.Time):
		return []string{fmt.Sprintf("Start by %s, %s earlier, and the whole route passes.",
			clock(w.Latest.Time), span(start.Sub(w.Latest.Time)))}
	case start.Before(w.Earliest.Time):
		return []string{fmt.Sprintf("Start at %s or after, %s later, and the whole route passes.",
			clock(w.Earliest.Time), span(w.Earliest.Sub(start)))}
	}
	return nil
}

func careWords(strict bool) string {
	if strict {
		return " The allowed window is %s to %s: those starts meet no heat limit of their own. Use it only where the " +
			"warning and the land manager leave it open."
	}
	return " Starts from %s to %s meet nothing graver than the house ladder's first step: shade breaks, spare water, " +
		"and as short and early as can be."
}

// lastMilder is the last start before another that is not cancelled.
func lastMilder(w StartWindow, start time.Time) Instant {
	var last Instant
	for _, s := range w.Starts {
		if s.Decision != Cancel && s.At.Before(start) {
			last = s.At
		}
	}
	return last
}

func shortInstead(s ShortOption) string {
	if !s.Passes {
		return "No earlier turn passes either, from this start."
	}
	place := "after"
	if s.Name != "" {
		place = "at " + s.Name + ","
	}
	words := fmt.Sprintf("Turn back %s %.1f km (%.1f mi): there and back takes %s, nine in ten %s, and passes from "+
		"this start. %s",
		place, s.Turn.Kilometres(), s.Turn.Miles(), span(s.P50.Duration()), span(s.P90.Duration()), s.Because)
	return strings.TrimSpace(words)
}

// turnedAt is the way to a place and back the same way.
func turnedAt(legs []track.Leg, at unit.Length) []track.Leg {
	var out []track.Leg
	for _, l := range legs {
		if l.From >= at {
			break
		}
		if l.To > at {
			l.Rise *= (at - l.From) / (l.To - l.From)
			l.To = at
		}
		out = append(out, l)
	}
	for _, l := range slices.Backward(slices.Clone(out)) {
		l.From, l.To = 2*at-l.To, 2*at-l.From
		l.Rise, l.Slope = -l.Rise, -l.Slope
		out = append(out, l)
	}
	return out
}

// lastTurn is the farthest place from which turning back is shorter than going on.
func (r *route) lastTurn() unit.Length {
	if r.in.Profile.Shape == track.OutAndBack {
		return r.march.far
	}
	return r.in.Profile.Length / 2
}

const (
	// House judgement: how finely a turn is looked for between the named points.
	turnsTried = 20
	// House judgement: a turn nearer than this is no walk.
	nearestTurn = 200 * unit.Metre
	// House judgement: a named place is worth a fifth of the way out, for people find it.
	nameWorth = 0.8
	// House judgement: what the house ladder's words "shorter" and "short" ask for, as
	// shares of the whole route's time.
	shorterShare, shortShare = 0.75, 0.5
)

// turned is the walk cut short at a place, with what it meets from the planned start.
type turned struct {
	at    unit.Length
	name  string
	route *route
	met   outcome
	worst weight
	limit limit
}

// shortOption is the farthest earlier turn that passes every limit at the planned start.
// Where the whole route passes only named points are offered, as a choice; where no turn
// passes, the nearest one tells why.
func (e results) shortOption() *ShortOption {
	named, open := e.route.turns()
	whole := e.met.found.weight() < changes
	best := e.farthest(named)
	if !whole && (best == nil || best.worst >= changes || len(open) > 0) {
		if turn := e.farthest(open); turn != nil && turn.better(best) {
			best = turn
		}
	}
	if best == nil || best.worst >= changes && e.route.in.Forecast.Official.Strict() {
		return nil // a shorter way does not lift a warning
	}
	return best.option()
}

// turns returns the places to turn at, the farthest first: the named points, and places
// at equal distances.
func (r *route) turns() (named, open []Point) {
	last := r.lastTurn()
	for _, p := range r.in.Points {
		if p.Along >= nearestTurn && p.Along < last*0.95 { // within a leg or two of it, it is the same turn
			named = append(named, p)
		}
	}
	slices.SortStableFunc(named, func(a, b Point) int {
		if a.Along > b.Along {
			return -1
		}
		return 1
	})
	for i := turnsTried - 1; i > 0; i-- {
		if at := last * unit.Length(i) / turnsTried; at >= nearestTurn {
			open = append(open, Point{Along: at})
		}
	}
	return named, open
}

// farthest returns the first turn that passes, or else the last one tried.
func (e results) farthest(turns []Point) *turned {
	var t *turned
	for _, p := range turns {
		if next := e.route.turnAt(p, e.met.start); next != nil {
			t = next
		}
		if t != nil && t.worst < changes {
			return t
		}
	}
	return t
}

// better reports whether a turn without a name is worth more than one with.
func (t *turned) better(named *turned) bool {
	switch {
	case named == nil:
		return true
	case (t.worst < changes) != (named.worst < changes):
		return t.worst < changes
	default:
		return t.worst < changes && named.at < t.at*nameWorth
	}
}

// turnAt walks the route to a place and back, or returns nil where that is no walk or no
// shorter one.
func (r *route) turnAt(p Point, start time.Time) *turned {
	m, err := newMarch(r.in, turnedAt(r.march.legs, p.Along), p.Along)
	if err != nil || m.estimate.P90 >= r.march.estimate.P90 {
		return nil
	}
	cut := routeIn(r.in, r.day, r.table, m)
	t := &turned{at: p.Along, name: p.Name, route: cut, met: cut.simulate(start)}
	share := float64(m.estimate.P90) / float64(r.march.estimate.P90)
	if shortAllowed(r.in.Rules.Ladder, t.met.felt, share, r.in.Acclimatised) {
		t.met.found[ofLadder] = min(t.met.found[ofLadder], warns)
	}
	t.limit, t.worst = t.met.found.worst()
	return t
}

// shortAllowed reports whether the house ladder lets a shortened route go, by the share
// that it is of the whole one's time.
func shortAllowed(l heat.Ladder, felt unit.Temperature, share float64, acclimatised bool) bool {
	switch l.Rung(felt + slack) {
	case heat.Cancel:
		return false
	case heat.ShortOnly:
		return share <= shortShare && acclimatised
	default:
		return share <= shorterShare
	}
}

func (t *turned) option() *ShortOption {
	took := t.route.march.estimate
	o := &ShortOption{
		Turn: whole(t.at), Name: t.name, Distance: 2 * whole(t.at),
		P50: seconds(took.P50), P90: seconds(took.P90),
		Drink: hundredth(t.met.drink), Carry: supply.Carry(hundredth(t.met.drink), took.P90),
		Passes: t.worst < changes,
	}
	switch rung := t.route.in.Rules.Ladder.Rung(t.met.felt + slack); {
	case !o.Passes:
		o.Because = t.route.words(t.limit, t.worst, t.met)
	case rung == heat.ShorterOrEarlier:
		o.Because = fmt.Sprintf("It meets %s: the house ladder asks for ten minutes of shade an hour and spare water.",
			bothScales(t.met.felt))
	case rung == heat.ShortOnly:
		o.Because = fmt.Sprintf("It meets %s: the house ladder asks for acclimatised people alone and extra staff.",
			bothScales(t.met.felt))
	}
	return o
}
