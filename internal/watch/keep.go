package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/team"
)

// The steps beside the ladder's.
const (
	// StepCard hands on-call the written times, so that they stand without any server. It
	// comes again when staff report a delay.
	StepCard Step = "card"
	// StepNoPromise says that a party is out without a plan, so that no clock can tell
	// whether it is late.
	StepNoPromise Step = "no-promise"
)

// Case is one watch with all that its steps are decided from. Make it with CaseOf.
type Case struct {
	roll.Watched
	State   party.State
	Promise Promise
	// Promised says that there is a plan that a clock can be held against.
	Promised bool
	Times    Times
	Log      []Logged
}

// CaseOf folds the roll and reads the times off the plan.
func CaseOf(w roll.Watched, log []Logged) Case {
	c := Case{Watched: w, State: w.Record.State(), Log: log}
	if w.Plan != nil {
		c.Promise = walking(PromiseOf(w.Hike, *w.Plan, w.Roster), c.State)
		c.Promised = c.Promise.Validate() == nil
	}
	if c.Promised {
		c.Times = TimesFor(c.Promise, c.State)
	}
	return c
}

// Names are the words of the case's hike.
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
// no screen shows as calm.
func (c Case) Phase(now time.Time) Phase {
	if !c.Promised {
		return ""
	}
	return PhaseAt(now, c.Times, c.State)
}

// Rungs lists every step of the watch in the order of time.
func (c Case) Rungs() []Rung {
	var rungs []Rung
	if !c.State.Departed.IsZero() {
		rungs = append(rungs, c.card())
	}
	if !c.Promised {
		return append(rungs, c.noPromise())
	}
	return append(rungs, Ladder(c.Times, c.Hike.Deputy.Name != "")...)
}

func (c Case) card() Rung {
	who := []Owner{OnCall}
	if c.Hike.Deputy.Name != "" {
		who = append(who, Deputy)
	}
	return Rung{Step: StepCard, At: c.told(), Phase: OnTime, Name: "watch card", Who: who,
		Do: "Keep this. The times stand even if you hear nothing more from this program."}
}

// told is when the departure, or the latest delay after it, was reported to the server.
func (c Case) told() time.Time {
	at := c.State.Departed
	for _, e := range c.Events {
		if e.Kind == party.KindDeparted || e.Kind == party.KindDelayed {
			at = latest(at, e.Recorded)
		}
	}
	return at
}

func (c Case) noPromise() Rung {
	at := c.Hike.Start
	if !c.State.Departed.IsZero() {
		at = c.State.Departed
	}
	return Rung{Step: StepNoPromise, At: at, Phase: Unconfirmed, Name: "no plan, no clock", Who: []Owner{OnCall, Coordinator},
		Do: "No plan was made for this hike, so no clock can tell when it is late. Ring the leader, agree a time of return and write it down. " +
			"Hold the clock yourself."}
}

// Action is what to do about a step now.
type Action string

// The actions.
const (
	Fire Action = "fire"
	Wait Action = "wait" // until the rung's time
	End  Action = "end"  // it is needless, for now
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

// Armed is a step that is to be looked at.
type Armed struct {
	Rung
	// Look is when: the rung's time, or now where that is not to be waited for.
	Look time.Time
}

// Armed lists the steps that fire now or later unless the roll changes.
func (c Case) Armed(now time.Time) []Armed {
	var list []Armed
	for _, r := range c.Rungs() {
		switch c.decide(r, now) {
		case Fire:
			list = append(list, Armed{r, earliest(r.At, now)})
		case Wait:
			list = append(list, Armed{r, r.At})
		}
	}
	return list
}

// acknowledged reports whether somebody has answered a step since it was due, or since it
// fired where that was earlier.
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
	return known && slices.ContainsFunc(c.Log, func(l Logged) bool { return l.Kind == LogAcknowledged && !l.At.Before(since) })
}

// Next returns the first step after a moment that wakes somebody unless the roll changes.
// A step that an answer has made needless is none.
func (c Case) Next(now time.Time) (Rung, bool) {
	for _, r := range c.Rungs() {
		if r.At.After(now) && c.decide(r, now) == Wait && !c.acknowledged(r.Unless) {
			return r, true
		}
	}
	return Rung{}, false
}

// Answered returns the latest acknowledgement of the alarm that stands: one since the
// watch time, or since the call for help where that has been reached too.
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
