package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/roll"
)

// The steps that are not on the ladder.
const (
	// StepCard gives on-call the times in writing, so that they do not depend on the server.
	// It repeats when staff report a delay.
	StepCard Step = "card"
	// StepNoPromise says that a party is out without a plan, so that no clock can tell
	// whether it is late.
	StepNoPromise Step = "no-promise"
)

// Rungs lists every step of the watch in order of time.
func (c Case) Rungs() []Rung {
	var rungs []Rung
	if !c.State.Departed.IsZero() {
		rungs = append(rungs, c.cardRung())
	}
	if !c.Promised {
		return append(rungs, c.noPromiseRung())
	}
	return append(rungs, Ladder(c.Times, c.Hike.Deputy.Name != "")...)
}

func (c Case) cardRung() Rung {
	who := []Owner{OnCall}
	if c.Hike.Deputy.Name != "" {
		who = append(who, Deputy)
	}
	return Rung{
		Step: StepCard, At: c.timesReported(), Phase: OnTime, Name: "watch card", Who: who,
		Do: "Keep this. The times stand even if you hear nothing more from this program.",
	}
}

// timesReported is when the server received the departure, or the latest delay after it.
func (c Case) timesReported() time.Time {
	at := c.State.Departed
	for _, e := range c.Events {
		if e.Kind == party.KindDeparted || e.Kind == party.KindDelayed {
			at = latest(at, e.Recorded)
		}
	}
	return at
}

func (c Case) noPromiseRung() Rung {
	at := c.Hike.Start
	if !c.State.Departed.IsZero() {
		at = c.State.Departed
	}
	return Rung{
		Step: StepNoPromise, At: at, Phase: Unconfirmed, Name: "no plan, no clock",
		Who: []Owner{OnCall, Coordinator},
		Do: "No plan was made for this hike, so no clock can tell when it is late. " +
			"Ring the leader, agree a time of return and write it down. Hold the clock yourself.",
	}
}

// Action is what to do about a step now.
type Action string

// The actions.
const (
	Fire Action = "fire"
	Wait Action = "wait" // until the rung's time
	End  Action = "end"  // it is not needed for now
)

// Decide says what to do about a step at a moment, from the roll as it stands.
func (c Case) Decide(step Step, now time.Time) (Rung, Action) {
	rungs := c.Rungs()
	i := slices.IndexFunc(rungs, func(r Rung) bool { return r.Step == step })
	if i < 0 {
		return Rung{Step: step}, End
	}
	return rungs[i], c.decide(rungs[i], now)
}

func (c Case) decide(r Rung, now time.Time) Action {
	switch {
	case r.Quiet || roll.Open(c.Hike) != nil:
		return End
	case r.Fires(now, c.State, c.acknowledged(r.Unless)):
		return Fire
	case now.Before(r.At) && !ended(c.State) && (!accounted(c.State) || !c.State.TroubleAt.IsZero()):
		return Wait
	}
	return End
}

// ScheduledStep is a ladder step with its next check time.
type ScheduledStep struct {
	Rung
	// Look is when to check: the rung's time, or now if the step is due already.
	Look time.Time
}

// Scheduled lists the steps that fire now or later unless the roll changes.
func (c Case) Scheduled(now time.Time) []ScheduledStep {
	var list []ScheduledStep
	for _, r := range c.Rungs() {
		switch c.decide(r, now) {
		case Fire:
			list = append(list, ScheduledStep{r, earliest(r.At, now)})
		case Wait:
			list = append(list, ScheduledStep{r, r.At})
		}
	}
	return list
}

// acknowledged reports whether somebody has answered a step since it was due, or since it
// fired if that was earlier.
func (c Case) acknowledged(step Step) bool {
	if step == "" {
		return false
	}
	since, known := time.Time{}, false
	for _, r := range c.Rungs() {
		if r.Step == step {
			since, known = r.At, true
		}
	}
	for _, l := range c.Log {
		if l.Kind == LogStep && l.Step == step && l.Due.Equal(since) {
			since = earliest(since, l.At)
		}
	}
	return known && slices.ContainsFunc(c.Log, func(l Logged) bool {
		return l.Kind == LogAcknowledged && !l.At.Before(since)
	})
}

// Next returns the first step after a moment that wakes somebody unless the roll changes. It
// skips steps that an acknowledgment has made needless.
func (c Case) Next(now time.Time) (Rung, bool) {
	for _, r := range c.Rungs() {
		if r.At.After(now) && c.decide(r, now) == Wait && !c.acknowledged(r.Unless) {
			return r, true
		}
	}
	return Rung{}, false
}

// Answered returns the latest acknowledgment of the current alarm: one since the watch time,
// or since the call for help if that has been reached too.
func (c Case) Answered(now time.Time) (Logged, bool) {
	step := StepWatch
	if !now.Before(c.Times.Call) || !c.State.TroubleAt.IsZero() {
		step = StepCall
	}
	if !c.Promised || !c.acknowledged(step) {
		return Logged{}, false
	}
	for _, l := range slices.Backward(c.Log) {
		if l.Kind == LogAcknowledged {
			return l, true
		}
	}
	return Logged{}, false
}
