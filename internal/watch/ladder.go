package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
)

// Our judgment: on-call may be asleep after a night hike. After ten minutes without an
// acknowledgment the step passes to the next person.
const unacknowledged = 10 * time.Minute

// Owner is who a step goes to.
type Owner string

// The owners, in the order in which a step passes on.
const (
	OnCall      Owner = "on-call"
	Deputy      Owner = "deputy"
	Coordinator Owner = "coordinator"
	Taker       Owner = "who has it" // whoever took the alarm, on call or not
)

// Step identifies a rung. Stored: add new ones, never rename old ones.
type Step string

// The steps of the ladder.
const (
	StepExpected         Step = "expected"
	StepWatch            Step = "watch"
	StepWatchDeputy      Step = "watch-deputy"
	StepWatchCoordinator Step = "watch-coordinator"
	StepWiden            Step = "widen"
	StepCall             Step = "call"
	StepCallAgain        Step = "call-again"
)

// StepName returns a step in words, for logs without their case.
func StepName(s Step) string {
	switch s {
	case StepCard:
		return "watch card"
	case StepNoPromise:
		return "no plan, no clock"
	}
	// Any times that are in order give every rung.
	times := Times{Watch: time.Unix(-1e6, 0), Widen: time.Unix(1, 0), Call: time.Unix(2, 0)}
	for _, r := range Ladder(times, true) {
		if r.Step == s {
			return r.Name
		}
	}
	return string(s)
}

// Rung is one step of the ladder.
type Rung struct {
	Step  Step
	At    time.Time
	Phase Phase
	// Name is the step in words, Do what to do.
	Name, Do string
	Who      []Owner
	// Unless is the step whose acknowledgment makes this one needless.
	Unless Step
	// Quiet rungs are printed and wake nobody.
	Quiet bool
}

const (
	doWatch = "Acknowledge first. Call and text the leader, then the sweep. Read the last count. " +
		"Ask a ranger or a volunteer nearby to look at the lot."
	doWiden = "Call the participants, then the leader's family contact: did they stop for a meal? Tell the land " +
		"manager."
	doCall = "Call the emergency number and say where first. Read the hand-over sheet. " +
		"Stay on the phone and note every call. Do not search alone. " +
		"Then call the leader's family contact and the land manager. " +
		"Stand down only when every name is confirmed."
)

// Ladder returns the steps of a watch in order of time. If there is no deputy, the
// coordinator is next. Steps that would come after the call for help are left out.
func Ladder(t Times, deputy bool) []Rung {
	rungs := []Rung{{
		Step: StepExpected, At: t.Expected, Phase: Due, Name: "likely return", Who: []Owner{OnCall},
		Do: "Nothing. Half of all walks take longer.", Quiet: true,
	}}
	rungs = append(rungs, watchRungs(t, deputy)...)
	if t.Widen.Before(t.Call) {
		rungs = append(rungs, Rung{
			Step: StepWiden, At: t.Widen, Phase: Alert, Name: "ask more widely",
			Who: []Owner{OnCall, Coordinator}, Do: doWiden,
		})
	}
	rungs = append(rungs, callRungs(t, deputy)...)
	slices.SortStableFunc(rungs, func(a, b Rung) int { return a.At.Compare(b.At) })
	return rungs
}

// watchRungs are the steps of asking, passed on until somebody answers.
func watchRungs(t Times, deputy bool) []Rung {
	at := t.Watch
	rungs := []Rung{{
		Step: StepWatch, At: at, Phase: Uncertainty, Name: "start asking", Who: []Owner{OnCall}, Do: doWatch,
	}}
	if deputy {
		at = at.Add(unacknowledged)
		rungs = append(rungs, Rung{
			Step: StepWatchDeputy, At: at, Phase: Uncertainty, Name: "on-call has not answered",
			Who: []Owner{Deputy}, Do: doWatch, Unless: StepWatch,
		})
	}
	rungs = append(rungs, Rung{
		Step: StepWatchCoordinator, At: at.Add(unacknowledged), Phase: Uncertainty,
		Name: "nobody has answered", Who: []Owner{Coordinator}, Do: doWatch, Unless: StepWatch,
	})
	return slices.DeleteFunc(rungs, func(r Rung) bool { return !r.At.Before(t.Call) })
}

// callRungs are the call for help and its repetition. Our judgment: it wakes everyone at
// once, and again if nobody answers; on-call makes the call, or whoever answers first.
func callRungs(t Times, deputy bool) []Rung {
	all := []Owner{OnCall, Deputy, Coordinator}
	if !deputy {
		all = []Owner{OnCall, Coordinator}
	}
	return []Rung{
		{Step: StepCall, At: t.Call, Phase: Distress, Name: "call for help", Who: all, Do: doCall},
		{
			Step: StepCallAgain, At: t.Call.Add(unacknowledged), Phase: Distress,
			Name: "call for help, second notice", Who: all, Do: doCall, Unless: StepCall,
		},
	}
}

// Fires reports whether the rung is to be carried out now. The ladder must come from the
// roll at that moment (TimesFor). acknowledged means that somebody has answered the step in
// Unless. A rung that was missed during an outage fires late.
func (r Rung) Fires(now time.Time, s party.State, acknowledged bool) bool {
	switch {
	case r.Quiet || now.Before(r.At) && !r.isDemanded(s):
		return false
	case r.Unless != "" && acknowledged:
		return false
	case ended(s):
		return false
	}
	// Everyone back by name silences the clock, but never a call for help.
	return !accounted(s) || !s.TroubleAt.IsZero()
}

// isDemanded reports whether the rung is the call and help was asked for. Then it fires at
// once, even if the device that sent the message has a clock ahead of ours.
func (r Rung) isDemanded(s party.State) bool { return r.Step == StepCall && !s.TroubleAt.IsZero() }

// Next returns the first rung after a moment that is not quiet.
func Next(rungs []Rung, now time.Time) (Rung, bool) {
	for _, r := range rungs {
		if !r.Quiet && r.At.After(now) {
			return r, true
		}
	}
	return Rung{}, false
}
