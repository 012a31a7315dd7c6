package plan

import (
	"cmp"
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// House judgement: starts are told to five minutes; nobody leaves more exactly.
const startStep = 5 * time.Minute

// window carries every start from first usable light to the last that ends before dark
// through the day. Its window is the run of starts that pass around the best one.
func (r *route) window() StartWindow {
	met := r.starts()
	w := StartWindow{Limits: []string{}, Starts: make([]Start, len(met))}
	for i, m := range met {
		w.Starts[i] = r.startOf(m)
	}
	if len(met) == 0 {
		w.Limits = append(w.Limits, fmt.Sprintf("Nine parties in ten take %s, longer than there is light, %s to %s.",
			span(r.march.estimate.P90), clock(r.day.first), clock(r.day.last)))
		return w
	}
	best := r.best(met)
	w.Best = instant(met[best].start)
	if l, weight := met[best].found.worst(); weight >= changes {
		w.Limits = append(w.Limits, fmt.Sprintf("No start passes; the least bad is %s. %s",
			clock(met[best].start), r.words(l, weight, met[best])))
		w.Care = r.care(met, best)
		return w
	}
	first, last := run(met, best, outcome.passes)
	w.Earliest, w.Latest = instant(met[first].start), instant(met[last].start)
	w.Limits = append(w.Limits, r.earlySide(met, first), r.lateSide(met, last))
	return w
}

// starts meets every start of the day.
func (r *route) starts() []outcome {
	var met []outcome
	first := r.day.first.Truncate(time.Minute)
	if first.Before(r.day.first) {
		first = first.Add(time.Minute)
	}
	if off := first.Minute() % 5; off > 0 {
		first = first.Add(time.Duration(5-off) * time.Minute)
	}
	for t := first; !t.Add(r.march.estimate.P90).After(r.day.last); t = t.Add(startStep) {
		met = append(met, r.simulate(t.In(r.in.Start.Location())))
	}
	return met
}

// best returns the start that passes with the most to spare, the first of several.
func (r *route) best(met []outcome) int {
	best := 0
	for i := range met {
		c := cmp.Compare(met[i].found.weight(), met[best].found.weight())
		if c < 0 || c == 0 && r.over(met[i]) < r.over(met[best]) {
			best = i
		}
	}
	return best
}

// over is how far a start is above its nearest heat limit, as a difference: the house
// ladder's first step, or the exposure limit of the worst hour. Below zero it is a margin.
func (r *route) over(m outcome) unit.Temperature {
	return max(m.felt-r.in.Rules.Ladder.ShorterFrom, m.exposure.mean-m.exposure.exposure)
}

func (r *route) startOf(m outcome) Start {
	l, w := m.found.worst()
	s := Start{At: instant(m.start), Decision: w.decision(), WBGT: tenth(m.wbgt), Felt: tenth(m.felt),
		Over: tenth(r.over(m))}
	if w != passes {
		s.Limit = l.String()
	}
	return s
}

// run returns the ends of the run of such starts around one of them.
func run(met []outcome, best int, such func(outcome) bool) (first, last int) {
	first, last = best, best
	for first > 0 && such(met[first-1]) {
		first--
	}
	for last < len(met)-1 && such(met[last+1]) {
		last++
	}
	return first, last
}

func (m outcome) passes() bool { return m.found.weight() < changes }

// care is the run of starts that need no more than the ladder's first step asks for.
func (r *route) care(met []outcome, best int) *Care {
	mild := func(m outcome) bool { return m.passes() || r.onlyFirstStep(m) }
	if !mild(met[best]) {
		return nil
	}
	first, last := run(met, best, mild)
	return &Care{Earliest: instant(met[first].start), Latest: instant(met[last].start)}
}

func (r *route) earlySide(met []outcome, first int) string {
	if first == 0 {
		return fmt.Sprintf("Not before %s: that is first usable light.", clock(r.day.first))
	}
	return fmt.Sprintf("Not before %s: %s", clock(met[first].start), r.sideWords(met[first-1]))
}

func (r *route) lateSide(met []outcome, last int) string {
	if last == len(met)-1 {
		return fmt.Sprintf("Not after %s: one party in ten would still be out at %s, in the dark.",
			clock(met[last].start), clock(r.day.last))
	}
	return fmt.Sprintf("Not after %s: %s", clock(met[last].start), r.sideWords(met[last+1]))
}

func (r *route) sideWords(m outcome) string {
	l, w := m.found.worst()
	return fmt.Sprintf("for a start at %s, %s", clock(m.start), lowered(r.words(l, w, m)))
}
