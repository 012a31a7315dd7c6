package plan

import (
	"cmp"
	"fmt"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/sun"
	"saltbush/internal/unit"
)

// Our judgment: nobody starts more exactly than to five minutes.
const startStep = 5 * time.Minute

// window simulates every start from first usable light to the last that ends before dark. The window is the run of
// passing starts around the best one.
func (r *route) window() StartWindow {
	met := r.starts()
	w := StartWindow{Limits: []string{}, Starts: make([]Start, len(met))}
	for i, m := range met {
		w.Starts[i] = r.startOf(m)
	}
	if len(met) == 0 {
		w.Limits = append(w.Limits, fmt.Sprintf("Nine parties in ten take %s, longer than there is light, %s to %s.",
			span(r.timing.estimate.P90), clock(r.day.first), clock(r.day.last)))
		return w
	}
	best := r.best(met)
	w.Best = instant(met[best].start)
	if l, weight := met[best].exceeded.worst(); weight >= changes {
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

func windowFigures() []figure {
	const inHeat = "{weather}; {ladder}"
	return []figure{
		{"earliest", "first start of the run that passes every limit around the best one", inHeat, byJudgement},
		{"latest", "last start of that run", inHeat + "; margin {margin}", byJudgement},
		{"best", "of the calmest starts, the one with the most room under its heat limits", inHeat, byJudgement},
		{"with_care.earliest",
			"first start of the run around the best at which only the ladder's first step asks for a " +
				"change; on a day of a warning, that lies in the allowed window", inHeat, byJudgement},
		{"with_care.latest", "last start of that run", inHeat, byJudgement},
		{"starts[].at", "every five minutes from civil dawn to the last that ends by civil dusk at P90", "P90 {p90}",
			sun.Source},
		{"starts[].decision", "as the verdict, for that start, the time zone taken as right", inHeat, byJudgement},
		{"starts[].peak_wbgt_c", "highest WBGT that this start meets", "{weather}", tableSource},
		{"starts[].peak_felt_c", "highest of air temperature and heat index that this start meets", "{weather}",
			heat.CurveSource},
		{"starts[].over_c", "larger of (felt - first step of the ladder) and (mean of the worst hour - exposure limit)",
			"{ladder}", heat.LimitSource},
	}
}

// starts simulates every start of the day.
func (r *route) starts() []outcome {
	var met []outcome
	first := r.day.first.Truncate(time.Minute)
	if first.Before(r.day.first) {
		first = first.Add(time.Minute)
	}
	if off := first.Minute() % 5; off > 0 {
		first = first.Add(time.Duration(5-off) * time.Minute)
	}
	for t := first; !t.Add(r.timing.estimate.P90).After(r.day.last); t = t.Add(startStep) {
		met = append(met, r.simulate(t.In(r.in.Start.Location())))
	}
	return met
}

// best returns the calmest start, of several the one with the most room under its heat limits, of several the first.
func (r *route) best(met []outcome) int {
	best := 0
	for i := range met {
		c := cmp.Compare(met[i].exceeded.weight(), met[best].exceeded.weight())
		if c < 0 || c == 0 && r.over(met[i]) < r.over(met[best]) {
			best = i
		}
	}
	return best
}

// over returns how far a start is above its nearest heat limit, as a difference: the first step of the ladder, or the
// exposure limit of the worst hour. Below zero it is a margin.
func (r *route) over(m outcome) unit.Temperature {
	return max(m.felt-r.in.Rules.Ladder.ShorterFrom, m.exposure.mean-m.exposure.exposure)
}

func (r *route) startOf(m outcome) Start {
	l, w := m.exceeded.worst()
	s := Start{At: instant(m.start), Decision: w.decision(), WBGT: tenth(m.wbgt), Felt: tenth(m.felt),
		Over: tenth(r.over(m))}
	if w != passes {
		s.Limit = l.String()
	}
	return s
}

// run returns the ends of the run of accepted starts around one of them.
func run(met []outcome, best int, accept func(outcome) bool) (first, last int) {
	first, last = best, best
	for first > 0 && accept(met[first-1]) {
		first--
	}
	for last < len(met)-1 && accept(met[last+1]) {
		last++
	}
	return first, last
}

func (m outcome) passes() bool { return m.exceeded.weight() < changes }

// care returns the run of starts that need no more than what the first step of the ladder asks for.
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
	l, w := m.exceeded.worst()
	return fmt.Sprintf("for a start at %s, %s", clock(m.start), lowered(r.words(l, w, m)))
}
