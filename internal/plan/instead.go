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
	"saltbush/internal/walk"
)

// instead says what would make a plan a go, or less grave: another start, or a shorter walk.
func (e results) instead(p Plan) []string {
	out := []string{}
	if p.Verdict.Decision == Go {
		return out
	}
	out = append(out, startInstead(p.Window, e.outcome.start, p.Verdict.Decision, p.Official.Strict())...)
	if p.Short != nil {
		out = append(out, shortInstead(*p.Short))
	}
	return out
}

// startInstead is empty where the start is in the window and something else is wrong.
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

// lastMilder returns the last start before a given one that is not cancelled.
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

// cutShort returns the legs to a place and back the same way.
func cutShort(legs []track.Leg, at unit.Length) []track.Leg {
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

// lastTurn returns the farthest place from which turning back is shorter than going on.
func (r *route) lastTurn() unit.Length {
	if r.in.Profile.Shape == track.OutAndBack {
		return r.timing.far
	}
	return r.in.Profile.Length / 2
}

const (
	// Our judgment: how many turns are tried between the named points.
	turnsTried = 20
	// NearestTurn is the nearest place to turn at. Our judgment: with a nearer one there is no walk.
	NearestTurn = 200 * unit.Metre
	// Our judgment: a named place is worth a fifth of the way out, because people find it.
	nameWorth = 0.8
	// Our judgment: what the ladder's words "shorter" and "short" mean, as shares of the whole route's time.
	shorterShare, shortShare = 0.75, 0.5
)

// shorter is the walk cut short at a place, with the outcome of the planned start.
type shorter struct {
	at      unit.Length
	name    string
	route   *route
	outcome outcome
	worst   weight
	limit   limit
}

// shortOption returns the farthest earlier turn that passes every limit at the planned start. Where the whole route
// passes, only named points are offered. Where no turn passes, the option is the nearest one and says why.
func (e results) shortOption() *ShortOption {
	named, open := e.route.turns()
	whole := e.outcome.exceeded.weight() < changes
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

func shortFigures() []figure {
	return []figure{
		{"turn_at_m",
			"farthest earlier turn that passes every limit, or the nearest where none does; a named point is " +
				"worth a fifth of the way", "{weather}; {ladder}", byJudgement},
		{"distance_m", "twice the turn", "{way}", track.Source},
		{"p50_s", "as the time of the whole walk", "{party}", walk.RateSource},
		{"p90_s", "P50 x exp(1.2816 sigma)", "{party}", walk.SpreadSource},
		{"drink_l_per_h", "as the water of the whole walk", "{weather}", supply.DrinkSource},
		{"carry_l_per_person", "rate x P90, up to the next half litre", "{weather}", byPractice},
		{"passes",
			"no limit asks for a change; the ladder's words shorter and short are three quarters and half of the " +
				"time", "{ladder}; {used}", byJudgement},
	}
}

// turns returns the places to turn at, farthest first: the named points, and places at equal distances.
func (r *route) turns() (named, open []Point) {
	last := r.lastTurn()
	for _, p := range r.in.Points {
		if p.Along >= NearestTurn && p.Along < last*0.95 { // within a leg or two of the last it is the same turn
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
		if at := last * unit.Length(i) / turnsTried; at >= NearestTurn {
			open = append(open, Point{Along: at})
		}
	}
	return named, open
}

// farthest returns the first turn that passes, otherwise the last one tried.
func (e results) farthest(turns []Point) *shorter {
	var t *shorter
	for _, p := range turns {
		if next := e.route.turnAt(p, e.outcome.start); next != nil {
			t = next
		}
		if t != nil && t.worst < changes {
			return t
		}
	}
	return t
}

// better reports whether a turn without a name is better than one with.
func (t *shorter) better(named *shorter) bool {
	switch {
	case named == nil:
		return true
	case (t.worst < changes) != (named.worst < changes):
		return t.worst < changes
	default:
		return t.worst < changes && named.at < t.at*nameWorth
	}
}

// turnAt simulates the route to a place and back. It returns nil where that is not a walk, or not a shorter one.
func (r *route) turnAt(p Point, start time.Time) *shorter {
	m, err := newTiming(r.in, cutShort(r.timing.legs, p.Along), p.Along)
	if err != nil || m.estimate.P90 >= r.timing.estimate.P90 {
		return nil
	}
	cut := layRoute(r.in, r.day, r.table, m)
	cut.share = float64(m.estimate.P90) / float64(r.timing.estimate.P90)
	if r.share > 0 {
		cut.share *= r.share
	}
	t := &shorter{at: p.Along, name: p.Name, route: cut, outcome: cut.simulate(start)}
	t.limit, t.worst = t.outcome.exceeded.worst()
	return t
}

// shortAllowed reports whether the ladder allows a shortened route, by its share of the whole one's time.
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

func (t *shorter) option() *ShortOption {
	took := t.route.timing.estimate
	o := &ShortOption{
		Turn: whole(t.at), Name: t.name, Distance: 2 * whole(t.at),
		P50: seconds(took.P50), P90: seconds(took.P90),
		Drink: hundredth(t.outcome.drink), Carry: supply.Carry(hundredth(t.outcome.drink), took.P90),
		Passes: t.worst < changes,
	}
	o.Because = t.route.shortWords(t.outcome)
	if !o.Passes {
		o.Because = t.route.words(t.limit, t.worst, t.outcome)
	}
	return o
}
