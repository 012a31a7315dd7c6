package watch

import (
	"slices"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/internal/team"
)

// Case is one watch with everything that its steps are decided from. CaseOf makes it.
type Case struct {
	roll.Watched
	State   party.State
	Promise Promise
	// Promised means that there is a plan to measure a clock against.
	Promised bool
	Times    Times
	Log      []Logged
}

// CaseOf folds the roll and reads the times from the plan.
func CaseOf(w roll.Watched, log []Logged) Case {
	if w.Plan != nil && !w.Terms.Planned {
		w.Terms = roll.TermsOf(0, false, w.Plan, w.Hike.Rules())
	}
	c := Case{Watched: w, State: w.Record.State(), Log: log}
	if w.Plan != nil {
		c.Promise = PromiseOf(w.Hike, *w.Plan, w.Roster).AdjustedTo(c.State)
		c.Promised = c.Promise.Validate() == nil
	}
	if c.Promised {
		c.Times = TimesFor(c.Promise, c.State)
	}
	return c
}

// Names returns the names of the case's hike and of the people responsible.
func (c Case) Names() Names {
	h := c.Hike
	n := Names{Hike: h.ID, Title: h.Title, Trail: c.Trail, OnCall: h.OnCall.Name, Deputy: h.Deputy.Name}
	if m, ok := h.StaffOf(team.Leader); ok {
		n.Leader = m.Name
	}
	if m, ok := h.StaffOf(team.Sweep); ok {
		n.Sweep = m.Name
	}
	return n
}

// Phase is how worried to be at a moment. Without a promise it is the empty phase, which
// screens never show as calm.
func (c Case) Phase(now time.Time) Phase {
	phase := Phase("")
	if c.Promised {
		phase = PhaseAt(now, c.Times, c.State)
	}
	for _, a := range c.Alarms() {
		p := a.Phase(now)
		if p.Alarm() && (!phase.Alarm() || p.Urgency() > phase.Urgency()) && phase != StoodDown {
			phase = p
		}
	}
	return phase
}

// Window returns the disclosure window of the case's hike. Our judgment: a party without a
// plan counts as in alarm from its departure on, because no clock can tell when it is late.
func (c Case) Window(now time.Time) privacy.Window {
	w := privacy.Window{Day: c.Hike.OnDay(now)}
	if s := c.Hike.State; s != hike.Posted && s != hike.Out && s != hike.Back {
		return w
	}
	phase := c.Phase(now)
	if c.Promised || phase.Alarm() {
		w.Watched, w.Alarm = phase != NotOut && phase != StoodDown, phase.Alarm()
		return w
	}
	w.Watched = (!c.State.Departed.IsZero() || !now.Before(c.Hike.Start)) && !ended(c.State)
	w.Alarm = w.Watched
	return w
}

// Took reports whether somebody of this name has taken the current alarm. An acknowledgment
// from before it began does not count.
func (c Case) Took(name string, now time.Time) bool {
	return name != "" && slices.ContainsFunc(c.Takers(now), func(l Logged) bool { return l.By == name })
}

// Takers lists who has taken the current alarm, each once with their last acknowledgment,
// the latest first. They stay takers when the alarm gets worse, although that asks for a new
// acknowledgment.
func (c Case) Takers(now time.Time) []Logged {
	if !c.Window(now).Alarm {
		return nil
	}
	since := c.alarmSince(now)
	var list []Logged
	for _, l := range slices.Backward(c.Log) {
		listed := slices.ContainsFunc(list, func(x Logged) bool { return x.By == l.By })
		if l.Kind == LogAcknowledged && !l.At.Before(since) && !listed {
			list = append(list, l)
		}
	}
	return list
}

// alarmSince is when the first of the alarms that run now began, by the party's clock or by one of
// its own.
func (c Case) alarmSince(now time.Time) time.Time {
	since := now
	if c.Promised && PhaseAt(now, c.Times, c.State).Alarm() {
		since = earliest(since, c.Times.Watch)
	}
	if at := c.State.TroubleAt; !at.IsZero() {
		since = earliest(since, at)
	}
	for _, a := range c.Alarms() {
		if a.Phase(now).Alarm() {
			since = earliest(since, a.Watch)
		}
	}
	return since
}

// Incident reports whether something happened that a claim or an inquiry may be about, by
// the roll or because help was called.
func (c Case) Incident() bool {
	return len(c.State.Incidents()) > 0 || slices.ContainsFunc(c.Log, func(l Logged) bool {
		return l.Kind == LogCalled || l.Step.Kind() == StepCall || l.Step.Kind() == StepCallAgain
	})
}
