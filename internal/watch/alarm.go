package watch

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/party"
)

// Alarm is something with a clock of its own beside the party's: a search for somebody who is
// missing, or a group that left early and is not confirmed at the car. It moves no other clock.
type Alarm struct {
	// Key is stable for the life of the alarm; it begins the names of its steps.
	Key string
	// About says what it is about: "Bo Lind is missing".
	About string
	// Persons are those it is about; Unnamed is how many more nobody knows by name.
	Persons []party.PersonID
	Unnamed int
	// Began is when the clock started. Expected is when it should be over by itself, zero for a
	// search. At Watch on-call is told, at Rise more people, at Call help is called.
	Began, Expected, Watch, Rise, Call time.Time
	// Ended is when it was over, zero while it runs.
	Ended time.Time
	// Search is the search, nil for people who left early.
	Search *party.Search
	// Why lists what makes Call earlier than usual.
	Why []string
}

// Alarms lists the alarms of a roll, the ended ones too: searches first, then those who left
// early, each in the order in which they began.
func (c Case) Alarms() []Alarm {
	var list []Alarm
	for i := range c.State.Searches {
		list = append(list, c.searchAlarm(i))
	}
	for _, g := range c.State.Early {
		if !g.ConfirmBy.IsZero() {
			list = append(list, c.earlyAlarm(g))
		}
	}
	slices.SortStableFunc(list, func(a, b Alarm) int { return a.Began.Compare(b.Began) })
	slices.SortStableFunc(list, func(a, b Alarm) int { return oneIf(b.Search != nil) - oneIf(a.Search != nil) })
	return list
}

func (c Case) searchAlarm(i int) Alarm {
	s := c.State.Searches[i]
	a := Alarm{
		Key: fmt.Sprintf("search-%d", i+1), Began: s.Began, Watch: s.Began, Rise: s.RiseAt(), Call: s.CallAt(),
		Ended: s.Ended, Search: &s,
	}
	for _, x := range s.Factors {
		a.Why = append(a.Why, string(x))
	}
	a.Persons, a.Unnamed = s.Open()
	if !a.Ended.IsZero() {
		a.Persons, a.Unnamed = s.Persons, max(0, s.Number-len(s.Persons))
	}
	names := c.State.Names(a.Persons)
	if a.Unnamed > 0 {
		names = append(names, party.PeopleWords(a.Unnamed)+" not known by name")
	}
	verb := " is missing"
	if len(a.Persons)+a.Unnamed > 1 {
		verb = " are missing"
	}
	a.About = strings.Join(names, ", ") + verb
	return a
}

func (c Case) earlyAlarm(g party.EarlyGroup) Alarm {
	a := Alarm{
		Key: "early-" + string(g.Left.Event[:min(8, len(g.Left.Event))]), Persons: g.Open, Began: g.Left.At,
		Expected: party.UpToMinute(g.Left.At.Add(g.Walk)), Watch: party.UpToMinute(g.ConfirmBy),
	}
	wait := c.Promise.margins().Urgent
	a.Rise, a.Call = a.Watch.Add(wait/2), a.Watch.Add(wait)
	a.About = strings.Join(c.State.Names(g.Persons), ", ") + " left early, not yet confirmed at the car"
	if len(g.Open) == 0 {
		a.Persons, a.Ended = g.Persons, c.lastSince(g.Persons)
	}
	return a
}

// lastSince is when the last of the people came to where they are.
func (c Case) lastSince(ids []party.PersonID) time.Time {
	var last time.Time
	for _, p := range c.State.People {
		if slices.Contains(ids, p.ID) {
			last = latest(last, p.Since)
		}
	}
	return last
}

// Running reports whether the alarm is not over.
func (a Alarm) Running() bool { return a.Ended.IsZero() }

// Phase is how worried to be about it at a moment.
func (a Alarm) Phase(now time.Time) Phase {
	switch {
	case !a.Running() || now.Before(a.Began):
		return OnTime
	case !now.Before(a.Call):
		return Distress
	case !now.Before(a.Rise):
		return Alert
	case !now.Before(a.Watch):
		return Uncertainty
	}
	return OnTime
}

const (
	doMissing = "First press \"I have it\". Call the leader and find out what is known: who, where and when last " +
		"seen, what they carry. Stay reachable, with the emergency number at hand: call for help at the time " +
		"given here, or at once if the leader says so."
	doRise = "They are still missing. Call the leader again. Tell the land manager. Have the hand-over sheet " +
		"open."
	doSearchCall = "Call the emergency number and say where first. Read out the hand-over sheet: it says who is " +
		"missing. Stay on the phone and note every call. The rest of the group is not missing."
	doEarly = "First press \"I have it\". Call each of them, then the leader. Ask a ranger or a volunteer nearby " +
		"to look for them and their car."
	doEarlyCall = "Call the emergency number and say where first: they left the group early and have not reached " +
		"the car. Read out the hand-over sheet."
	doRepeat = "Nobody has taken this call for help. Whoever reads this first: call the emergency number now, " +
		"then press \"I have it\". No answer? Call the land manager."
	doStill = "You have this alarm. Write a line in the log, or pass it on. If you write nothing within ten " +
		"minutes, the others are told again."
	doClear = "This alarm is over. If anybody called the emergency number about it, call it again and say so."
)

// rungs are the steps of the alarm in order of time.
func (a Alarm) rungs(deputy bool) []Rung {
	first, again := StepWatch, StepWatchDeputy
	do, call := doEarly, doEarlyCall
	who := []Owner{OnCall}
	if a.Search != nil {
		first, again, do, call = StepMissing, StepMissingAgain, doMissing, doSearchCall
		who = everybody(deputy)[:max(1, len(everybody(deputy))-1)]
	}
	list := []Rung{{Step: first, At: a.Watch, Phase: Uncertainty, Who: who, Do: do}}
	if at := a.Watch.Add(unacknowledged); at.Before(a.Call) {
		list = append(list, Rung{
			Step: again, At: at, Phase: Uncertainty, Who: everybody(deputy), Do: do, Unless: first,
		})
	}
	if a.Rise.Before(a.Call) {
		list = append(list, Rung{Step: StepRise, At: a.Rise, Phase: Alert, Who: everybody(deputy), Do: doRise})
	}
	list = append(list,
		Rung{Step: StepCall, At: a.Call, Phase: Distress, Who: append(everybody(deputy), Safety), Do: call},
		Rung{
			Step: StepCallAgain, At: a.Call.Add(unacknowledged), Phase: Distress,
			Who: append(everybody(deputy), Safety), Do: call, Unless: StepCall,
		})
	for i := range list {
		a.stamp(&list[i])
	}
	return list
}

// stamp makes a rung one of the alarm's.
func (a Alarm) stamp(r *Rung) {
	r.Name = StepName(r.Step)
	r.Step, r.Alarm, r.About, r.Idle = a.step(r.Step), a.Key, a.About, r.Idle || !a.Running()
	if r.Unless != "" {
		r.Unless = a.step(r.Unless)
	}
	if r.Phase != Distress {
		r.Deadline = a.Call
	}
}

func (a Alarm) step(s Step) Step { return Step(a.Key) + "/" + s }
