package watch

import (
	"slices"
	"strings"
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

// Rungs lists every step of the watch in order of time: those of the party's clock, of each alarm,
// and what follows from who was told and who has answered.
func (c Case) Rungs() []Rung {
	rungs := append(c.baseRungs(), c.followRungs()...)
	slices.SortStableFunc(rungs, func(a, b Rung) int { return a.At.Compare(b.At) })
	return rungs
}

// baseRungs are the steps that the clocks alone demand.
func (c Case) baseRungs() []Rung {
	var rungs []Rung
	if !c.State.Departed.IsZero() {
		rungs = append(rungs, c.cardRung())
	}
	deputy := c.Hike.Deputy.Name != ""
	if c.Promised {
		rungs = append(rungs, c.aboutUnwell(Ladder(c.Times, deputy))...)
	} else {
		rungs = append(rungs, c.noPromiseRung())
	}
	for _, a := range c.Alarms() {
		rungs = append(rungs, a.rungs(deputy)...)
	}
	return rungs
}

// aboutUnwell says who is unwell where the party's own call for help is about them.
func (c Case) aboutUnwell(rungs []Rung) []Rung {
	unwell := c.State.Emergencies()
	for i := range rungs {
		if len(unwell) > 0 && rungs[i].Phase == Distress {
			var about []string
			for _, u := range unwell {
				about = append(about, strings.Join(c.State.Names(u.Open), ", ")+": signs of an emergency, at "+
					party.PlaceWords(u.Seen.Place))
			}
			rungs[i].About = strings.Join(about, "; ")
		}
	}
	return rungs
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

// timesReported is when the server received the departure, or the latest record since that changes
// what on-call was told: a delay, people who left early, a split.
func (c Case) timesReported() time.Time {
	at := c.State.Departed
	for _, e := range c.Events {
		switch e.Kind {
		case party.KindDeparted, party.KindDelayed, party.KindLeftEarly, party.KindSplit:
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
			"Call the leader, agree on a return time and write it down. Watch the clock yourself.",
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
	r := rungs[i]
	if _, word, has := c.lastAnswer(now); has && r.Unless != "" && !now.Before(word.Add(holderMute)) {
		r.At = latest(r.At, word.Add(holderMute)) // due since whoever had the alarm fell silent
	}
	return r, c.decide(r, now)
}

func (c Case) decide(r Rung, now time.Time) Action {
	switch {
	case r.Quiet || r.Idle || roll.Open(c.Hike) != nil && r.Step != StepClear:
		return End
	case r.Fires(now, c.State, c.acknowledged(r.Unless, now)):
		return Fire
	case !now.Before(r.At):
		return End
	case r.Alarm != "" || r.ownEnd():
		return Wait
	case !ended(c.State) && (!accounted(c.State) || !c.State.TroubleAt.IsZero()):
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
// fired if that was earlier, and still has it.
func (c Case) acknowledged(step Step, now time.Time) bool {
	since, known := c.dueSince(step)
	if !known {
		return false
	}
	l, has := c.holder(now)
	return has && !l.At.Before(since)
}

// dueSince is when a step was due, or when it fired if that was earlier.
func (c Case) dueSince(step Step) (since time.Time, known bool) {
	if step == "" {
		return since, false
	}
	for _, r := range c.baseRungs() {
		if r.Step == step {
			since, known = r.At, true
		}
	}
	for _, l := range c.Log {
		if l.Kind == LogStep && l.Step == step && l.Due.Equal(since) {
			since = earliest(since, l.At)
		}
	}
	return since, known
}

// Next returns the first step after a moment that wakes somebody unless the roll changes. It
// skips steps that an acknowledgment has made needless.
func (c Case) Next(now time.Time) (Rung, bool) {
	for _, r := range c.Rungs() {
		if r.Step != StepStill && r.At.After(now) && c.decide(r, now) == Wait && !c.acknowledged(r.Unless, now) {
			return r, true
		}
	}
	return Rung{}, false
}

// Answered returns who has the gravest alarm that runs: their acknowledgment, unless it was given
// before the alarm became this grave, or has lapsed.
func (c Case) Answered(now time.Time) (Logged, bool) {
	since, alarm := c.gravestSince(now)
	l, has := c.holder(now)
	if !alarm || !has || l.At.Before(since) {
		return Logged{}, false
	}
	return l, true
}

// gravestSince is when the gravest step that is due now was due.
func (c Case) gravestSince(now time.Time) (since time.Time, alarm bool) {
	r, alarm := c.gravest(now)
	if !alarm {
		return since, false
	}
	since, _ = c.dueSince(r.Step)
	return since, true
}

// gravest returns the gravest step of an alarm that is due, the first of its phase. Steps that are
// sent again, or more widely, ask for no answer of their own.
func (c Case) gravest(now time.Time) (gravest Rung, alarm bool) {
	for _, r := range c.baseRungs() {
		switch {
		case !r.Phase.Alarm() || r.Unless != "" || r.Idle || r.Quiet || r.widens():
		case now.Before(r.At) && !r.isDemanded(c.State):
		case r.Alarm == "" && c.clockSilent():
		case !alarm || r.Phase.Urgency() > gravest.Phase.Urgency():
			gravest, alarm = r, true
		}
	}
	return gravest, alarm
}

// Current returns the step of the gravest alarm that is due now: what to do.
func (c Case) Current(now time.Time) (Rung, bool) {
	r, alarm := c.gravest(now)
	for _, wider := range c.baseRungs() {
		if alarm && wider.widens() && wider.Alarm == r.Alarm && !wider.Idle && !now.Before(wider.At) &&
			wider.Phase.Urgency() > r.Phase.Urgency() {
			r = wider
		}
	}
	return r, alarm
}

// Called returns who called the emergency number since the alarm began, the last of them.
func (c Case) Called(now time.Time) (Logged, bool) {
	since, alarm := c.alarmSince(now), c.Window(now).Alarm
	for _, l := range slices.Backward(c.Log) {
		if alarm && l.Kind == LogCalled && !l.At.Before(since) {
			return l, true
		}
	}
	return Logged{}, false
}

// clockSilent reports whether everybody back by name, or a stand-down, has silenced the party's own
// clock.
func (c Case) clockSilent() bool {
	return ended(c.State) || accounted(c.State) && c.State.TroubleAt.IsZero()
}
