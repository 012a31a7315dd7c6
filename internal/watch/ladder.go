package watch

import (
	"slices"
	"strings"
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
	Safety      Owner = "safety officer"
	Woken       Owner = "everybody who was told" // of this alarm
	Taker       Owner = "who has it"             // whoever took the alarm, on call or not
)

// Step identifies a rung. Stored: add new ones, never rename old ones.
type Step string

// Kind is the step without the alarm that it belongs to: "rise" of "search-1/rise".
func (s Step) Kind() Step { return s[strings.LastIndexByte(string(s), '/')+1:] }

// The steps of the ladder.
const (
	StepExpected         Step = "expected"
	StepWatch            Step = "watch"
	StepWatchDeputy      Step = "watch-deputy"
	StepWatchCoordinator Step = "watch-coordinator"
	StepWiden            Step = "widen"
	StepCall             Step = "call"
	StepCallAgain        Step = "call-again"
	// StepRepeat is the call for help again and again, until somebody takes it.
	StepRepeat Step = "call-repeat"
	// StepStill asks whoever took the alarm whether they still have it.
	StepStill Step = "still"
	// StepPassed tells somebody that the alarm was passed on to them.
	StepPassed Step = "passed-on"
	// StepClear tells everybody who was woken that it is over.
	StepClear Step = "all-clear"
	// The steps of a search.
	StepMissing      Step = "missing"
	StepMissingAgain Step = "missing-again"
	StepRise         Step = "rise"
)

// StepName returns a step in words, for logs without their case.
func StepName(s Step) string {
	if i := strings.LastIndexByte(string(s), '/'); i >= 0 {
		s = s[i+1:]
	}
	switch s {
	case StepMissing:
		return "somebody is missing"
	case StepMissingAgain:
		return "somebody is missing, second notice"
	case StepRise:
		return "still missing"
	case StepRepeat:
		return "call for help, and nobody has answered"
	case StepStill:
		return "do you still have it?"
	case StepPassed:
		return "passed on to you"
	case StepClear:
		return "all clear"
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
	// Alarm is the key of the alarm that the rung belongs to, "" for the party's own clock.
	Alarm string
	// About says what it is about if that is not the whole party: "Bo Lind is missing".
	About string
	// Deadline is when help is called at the latest, zero if the rung is that call or knows none.
	Deadline time.Time
	// Idle rungs are listed and do not fire as things stand.
	Idle bool
}

const (
	doWatch = "First press \"I have it\". Call and text the leader, then the sweep. Read the last count. " +
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
	all := everybody(deputy)
	return []Rung{
		{Step: StepCall, At: t.Call, Phase: Distress, Name: "call for help", Who: all, Do: doCall},
		{
			Step: StepCallAgain, At: t.Call.Add(unacknowledged), Phase: Distress,
			Name: "call for help, second notice", Who: all, Do: doCall, Unless: StepCall,
		},
	}
}

func everybody(deputy bool) []Owner {
	if !deputy {
		return []Owner{OnCall, Coordinator}
	}
	return []Owner{OnCall, Deputy, Coordinator}
}

// Fires reports whether the rung is to be carried out now. The ladder must come from the
// roll at that moment (TimesFor). acknowledged means that somebody has answered the step in
// Unless. A rung that was missed during an outage fires late.
func (r Rung) Fires(now time.Time, s party.State, acknowledged bool) bool {
	switch {
	case r.Quiet || r.Idle || now.Before(r.At) && !r.isDemanded(s):
		return false
	case r.Alarm != "" || r.ownEnd():
		return r.Unless == "" || !acknowledged
	case r.Unless != "" && acknowledged:
		return false
	case ended(s):
		return false
	}
	// Everyone back by name silences the clock, but never a call for help.
	return !accounted(s) || !s.TroubleAt.IsZero()
}

// Early reports whether the rung is about people who left early.
func (r Rung) Early() bool { return strings.HasPrefix(r.Alarm, earlyKey) }

// ownEnd reports whether the rung is needed or not whatever the party's clock says.
func (r Rung) ownEnd() bool {
	return r.Step == StepClear || r.Step == StepPassed || r.Step == StepStill
}

// widens reports whether the rung tells more people of an alarm that others were told of.
func (r Rung) widens() bool {
	return r.Step == StepWiden || r.Alarm != "" && r.Step.Kind() == StepRise
}

// isDemanded reports whether the rung is the call and help was asked for. Then it fires at
// once, even if the device that sent the message has a clock ahead of ours.
func (r Rung) isDemanded(s party.State) bool { return r.Step == StepCall && !s.TroubleAt.IsZero() }
