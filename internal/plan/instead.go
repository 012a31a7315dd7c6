package plan

import (
	"fmt"
	"strings"
	"time"
)

// instead says what would make a plan a go, or less grave: another start, or a shorter way.
func (e evidence) instead(p Plan) []string {
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
