package watch

import (
	"slices"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/privacy"
)

// Window says which of the times of disclosure it is for the case's hike. House judgement:
// a party without a plan counts as in alarm from its departure on, since no clock can tell
// when it is late.
func (c Case) Window(now time.Time) privacy.Window {
	w := privacy.Window{Day: c.Hike.OnDay(now)}
	if s := c.Hike.State; s != hike.Posted && s != hike.Out && s != hike.Back {
		return w
	}
	phase := c.Phase(now)
	if c.Promised {
		w.Watched, w.Alarm = phase != NotOut && phase != StoodDown, phase.Alarm()
		return w
	}
	w.Watched = (!c.State.Departed.IsZero() || !now.Before(c.Hike.Start)) && !ended(c.State)
	w.Alarm = w.Watched
	return w
}

// Took reports whether somebody of this name has said in the alarm as it stands that they
// have it. What was said before it began does not count.
func (c Case) Took(name string, now time.Time) bool {
	return name != "" && slices.ContainsFunc(c.Takers(now), func(l Logged) bool { return l.By == name })
}

// Takers lists who has said in the alarm as it stands that they have it, each once with
// their last word, the latest first. They stay so when the alarm grows graver, which asks
// for an answer of its own.
func (c Case) Takers(now time.Time) []Logged {
	if !c.Window(now).Alarm {
		return nil
	}
	since := c.Times.Watch
	if at := c.State.TroubleAt; !at.IsZero() && (since.IsZero() || at.Before(since)) {
		since = at
	}
	var list []Logged
	for _, l := range slices.Backward(c.Log) {
		if l.Kind != LogAcknowledged || l.At.Before(since) || slices.ContainsFunc(list, func(x Logged) bool { return x.By == l.By }) {
			continue
		}
		list = append(list, l)
	}
	return list
}

// Incident reports whether something happened that a claim or an inquiry may be about: by
// the roll, or because help was called for.
func (c Case) Incident() bool {
	return len(c.State.Incidents()) > 0 || slices.ContainsFunc(c.Log, func(l Logged) bool {
		return l.Step == StepCall || l.Step == StepCallAgain
	})
}
