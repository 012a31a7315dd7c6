package watch

import (
	"slices"
	"strings"
	"time"

	"saltbush/internal/party"
)

const (
	// House judgment: a call for help that nobody has taken is sent again this often.
	repeatEvery = 10 * time.Minute
	// House judgment: whoever has an alarm is asked after this time without a word from them, and
	// the others are told again after the second.
	askHolder  = 20 * time.Minute
	holderMute = 30 * time.Minute
)

// followRungs are the steps that follow from what was sent and answered so far.
func (c Case) followRungs() []Rung {
	rungs := c.aboutUnwell(c.repeatRungs("", !c.clockSilent()))
	rungs = append(rungs, c.clearRung(Alarm{}, c.clockEnded()))
	for _, a := range c.Alarms() {
		rungs = append(rungs, stamped(a, c.repeatRungs(a.Key, a.Running()))...)
		rungs = append(rungs, c.clearRung(a, a.Ended))
	}
	rungs = slices.DeleteFunc(rungs, func(r Rung) bool { return r.At.IsZero() })
	return append(rungs, c.holderRungs()...)
}

func stamped(a Alarm, rungs []Rung) []Rung {
	for i := range rungs {
		rungs[i].Step = Step(strings.TrimPrefix(string(rungs[i].Step), a.Key+"/"))
		rungs[i].Unless = Step(strings.TrimPrefix(string(rungs[i].Unless), a.Key+"/"))
		a.stamp(&rungs[i])
	}
	return rungs
}

// keyed is a step of the alarm with the key.
func keyed(key string, s Step) Step {
	if key == "" {
		return s
	}
	return Step(key) + "/" + s
}

// repeatRungs sends the call for help again, from the last time on, until somebody takes it.
func (c Case) repeatRungs(key string, runs bool) []Rung {
	var last time.Time
	for _, l := range c.Log {
		again := l.Step == keyed(key, StepCallAgain) || l.Step == keyed(key, StepRepeat)
		if l.Kind == LogStep && again {
			at := l.Due // so that a step that is tried again a moment later shifts nothing
			if l.At.Sub(l.Due) >= repeatEvery {
				at = l.At // after an outage
			}
			last = latest(last, at)
		}
	}
	if last.IsZero() {
		return nil
	}
	return []Rung{{
		Step: keyed(key, StepRepeat), At: last.Add(repeatEvery), Phase: Distress, Name: StepName(StepRepeat),
		Who: append(everybody(c.Hike.Deputy.Name != ""), Safety), Do: doRepeat, Unless: keyed(key, StepCall),
		Idle: !runs,
	}}
}

// clockEnded is when the party's own alarm was over, zero while it is not.
func (c Case) clockEnded() time.Time {
	switch {
	case !c.clockSilent():
		return time.Time{}
	case ended(c.State):
		return c.State.StoodDown
	}
	var last time.Time
	for _, p := range c.State.People {
		last = latest(last, p.Since)
	}
	return last
}

// clearRung tells everybody who was woken by an alarm that it is over. Its time is zero if nobody
// was, or if it is not over.
func (c Case) clearRung(a Alarm, end time.Time) Rung {
	r := Rung{
		Step: keyed(a.Key, StepClear), At: end, Phase: OnTime, Name: StepName(StepClear), Who: []Owner{Woken},
		Do: doClear, Alarm: a.Key, About: c.ending(a),
	}
	var woken time.Time
	for _, l := range c.Log {
		if l.Kind == LogStep && wakes(l.Step, a.Key) {
			woken = latest(woken, l.At)
		}
	}
	if woken.IsZero() || end.IsZero() {
		r.At = time.Time{}
		return r
	}
	r.At = latest(end, woken)
	return r
}

// ending says how an alarm ended, "" while it runs.
func (c Case) ending(a Alarm) string {
	switch {
	case a.Key == "":
		return "everybody is accounted for by name"
	case a.Running():
		return ""
	case a.Search == nil:
		return strings.Join(c.State.Names(a.Persons), ", ") + ": heard of, or at the car"
	}
	var list []string
	for _, f := range a.Search.Found {
		words := strings.Join(c.State.Names([]party.PersonID{f.Person}), "") + " was found"
		if f.Place != "" {
			words += " at " + f.Place
		}
		if note := strings.Join(strings.Fields(f.Note), " "); note != "" { // a text message is one line
			words += " (" + note + ")"
		}
		list = append(list, words+", says "+f.By)
	}
	if len(list) == 0 {
		return "nobody is missing now"
	}
	return strings.Join(list, "; ")
}

// wakes reports whether a step tells somebody of the alarm with the key.
func wakes(s Step, key string) bool {
	own, step := "", string(s)
	if i := strings.LastIndexByte(step, '/'); i >= 0 {
		own, step = step[:i], step[i+1:]
	}
	switch Step(step) {
	case StepCard, StepClear, StepNoPromise, StepStill, StepPassed:
		return false
	}
	return own == key
}

// WokenBy lists the recipients, in words, who were told of the alarm of a rung.
func (c Case) WokenBy(r Rung) []string {
	var list []string
	for _, l := range c.Log {
		if l.Kind == LogStep && wakes(l.Step, r.Alarm) && !slices.Contains(list, l.Recipient) {
			list = append(list, l.Recipient)
		}
	}
	return list
}

// holder returns the latest acknowledgment that stands: its holder has not passed the alarm on, and
// has written something within the last half hour.
func (c Case) holder(now time.Time) (Logged, bool) {
	l, word, has := c.lastAnswer(now)
	return l, has && now.Before(word.Add(holderMute))
}

// lastAnswer returns the latest acknowledgment that was not passed on, and the last word of whoever
// gave it.
func (c Case) lastAnswer(now time.Time) (answer Logged, word time.Time, has bool) {
	for _, l := range c.Log {
		switch {
		case l.At.After(now) || l.Kind == LogOpened:
		case l.Kind == LogAcknowledged:
			answer, word, has = l, l.At, true
		case l.Kind == LogPassed && has && l.By == answer.By:
			has = false
		case has && l.By == answer.By:
			word = latest(word, l.At)
		}
	}
	return answer, word, has
}

// holderRungs ask whoever has the alarm whether they still have it, and tell the person it was
// passed on to.
func (c Case) holderRungs() []Rung {
	var rungs []Rung
	const forever = 100 * 365 * 24 * time.Hour
	if answer, word, has := c.lastAnswer(c.lastLine().Add(forever)); has {
		rungs = append(rungs, Rung{
			Step: StepStill, At: word.Add(askHolder), Phase: Uncertainty, Name: StepName(StepStill),
			Who: []Owner{Taker}, Do: doStill, About: answer.By + " has the alarm", Idle: !c.alarmRuns(),
		})
	}
	for _, l := range slices.Backward(c.Log) {
		if l.Kind == LogPassed {
			rungs = append(rungs, Rung{
				Step: StepPassed, At: l.At, Phase: Uncertainty, Name: StepName(StepPassed),
				Who:  []Owner{Owner(l.Recipient)},
				Do:   "First press \"I have it\". " + l.By + " has passed this alarm on to you. " + l.Note,
				Idle: !c.alarmRuns(),
			})
			break
		}
	}
	return rungs
}

func (c Case) lastLine() time.Time {
	var last time.Time
	for _, l := range c.Log {
		last = latest(last, l.At)
	}
	return last
}

// alarmRuns reports whether the party's clock or an alarm still runs.
func (c Case) alarmRuns() bool {
	return !c.clockSilent() || slices.ContainsFunc(c.Alarms(), Alarm.Running)
}
