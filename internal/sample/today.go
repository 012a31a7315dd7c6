package sample

import (
	"errors"
	"saltbush/internal/party"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
)

// addToday adds the three hikes that the board shows at any time of day.
func (s *season) addToday() error {
	for _, add := range []func() (outing, error){s.outNow, s.lateNow, s.undecided} {
		o, err := add()
		if err != nil {
			return err
		}
		s.outings = append(s.outings, o)
	}
	return nil
}

// attempt is a trail that fits the time of day, and how long ago the party left.
type attempt struct {
	trail int
	ago   time.Duration
}

// errNoAttempt means that no trail fits. TestTodayAtEveryHour proves that one always does.
var errNoAttempt = errors.New("no trail fits the hour")

// outNow returns a hike that is out and on time. Near dusk it is on a shorter trail or left
// later.
func (s *season) outNow() (outing, error) {
	sl := slot{about: "taking our time", places: 10, asked: 10, staff: []int{outLeader, 3},
		notice: "We wait for nobody at the start and for everybody at the regroup points."}
	for _, a := range []attempt{{ridge, 90 * time.Minute}, {spring, 65 * time.Minute}, {washLoop, 45 * time.Minute},
		{spring, 25 * time.Minute}} {
		sl.trail = a.trail
		o, err := s.out(sl, s.now.Add(-a.ago), s.now, watch.OnTime)
		if !errors.Is(err, errNoAttempt) {
			return o, err
		}
	}
	return outing{}, errNoAttempt
}

// lateBy is how long the watch time of the late hike has passed.
// Our judgment: long enough to be seen, too short for the next step.
const lateBy = 10 * time.Minute

// lateNow returns a hike that should be back.
func (s *season) lateNow() (outing, error) {
	sl := slot{about: "slow and curious", places: 10, asked: 10, staff: []int{lateLeader, 5},
		notice: "A slow one with many stops. Gaiters keep the gravel out of the shoes."}
	for _, trail := range []int{washLoop, spring, stair, flatLoop} {
		sl.trail = trail
		long, err := s.longest(sl)
		if err != nil {
			return outing{}, err
		}
		halfway := s.now.Add(-long * 4 / 10) // the last report
		o, err := s.out(sl, s.now.Add(-long-lateBy), halfway, watch.Uncertainty)
		if !errors.Is(err, errNoAttempt) {
			return o, err
		}
	}
	return outing{}, errNoAttempt
}

// longest returns the duration that nine in ten parties do not exceed. It does not depend on
// the day.
func (s *season) longest(sl slot) (time.Duration, error) {
	o := s.schedule(sl, s.now)
	if err := s.expect(&o, mild(s.forecast(s.now, -3))); err != nil {
		return 0, err
	}
	return o.plan.Plan.Time.P90.Duration(), nil
}

// mostEarly is how long before its start a party may have left.
// Our judgment: for the last light on the first mile. Any earlier would look odd.
const mostEarly = 55 * time.Minute

// out returns a hike that left at a given time, last reported before another, and is in the
// wanted phase now and for five more minutes.
func (s *season) out(sl slot, departed, heard time.Time, want watch.Phase) (outing, error) {
	departed = departed.Truncate(time.Minute)
	start := departed.Truncate(5 * time.Minute)
	o, err := s.left(sl, start, departed, heard)
	if err != nil {
		return o, err
	}
	if o.staysIn(want, s.now) {
		return o, nil
	}
	dark := o.plan.Plan.Sun.CivilDusk.Truncate(5 * time.Minute).Add(5 * time.Minute)
	if dark.Before(departed) || dark.Sub(departed) > mostEarly {
		return o, errNoAttempt
	}
	if o, err = s.left(sl, dark, departed, heard); err == nil && !o.staysIn(want, s.now) {
		err = errNoAttempt
	}
	return o, err
}

// left returns a hike that has left.
func (s *season) left(sl slot, start, departed, heard time.Time) (outing, error) {
	o := s.schedule(sl, start.In(s.now.Location()))
	o.hike.Meet = departed.In(s.now.Location()).Truncate(5 * time.Minute).Add(-meetBefore)
	if err := s.expect(&o, mild(s.forecast(start, -3))); err != nil {
		return o, err
	}
	if err := s.post(&o, sl.asked); err != nil {
		return o, err
	}
	if err := s.decide(&o); err != nil {
		return o, err
	}
	b := s.book(&o, departed, o.plan.Plan.Time.P50.Duration())
	b.gather(0)
	b.depart()
	b.countUntil(heard)
	return o, nil
}

// countUntil writes a count at every point that the party passed by then, or one soon after
// the start if there is none.
func (b *book) countUntil(heard time.Time) {
	passed := false
	for _, p := range b.onTheWay() {
		if b.reach(p.Along).Add(5 * time.Minute).Before(heard) {
			b.count(p)
			passed = true
		}
	}
	if !passed {
		const soon = 12 * time.Minute
		along := unit.Length(float64(b.trail.Profile.Length) * soon.Seconds() / b.took.Seconds())
		b.write(b.departed.Add(soon), party.Event{Kind: party.KindCounted, Number: len(b.party), Sweep: len(b.party),
			Place: "first bend", Along: along})
	}
}

// staysIn reports whether the board shows the phase now and for five more minutes.
func (o outing) staysIn(want watch.Phase, now time.Time) bool {
	return o.phase(now) == want && o.phase(now.Add(5*time.Minute)) == want
}

func (o outing) phase(now time.Time) watch.Phase {
	roster := roll.RosterOf(o.hike, o.asConfirmed())
	state := party.Fold(roster, o.events)
	return watch.PhaseAt(now, watch.TimesFor(watch.PromiseOf(o.hike, o.plan.Plan, roster), state), state)
}

// asConfirmed returns the confirmed sign-ups as they will be stored.
func (o outing) asConfirmed() []signup.SignUp {
	list := append([]signup.SignUp(nil), o.confirmed()...)
	for i := range list {
		list[i].State = signup.Confirmed
	}
	return list
}

// undecided returns a posted hike that starts soon, with a plan that advises against it.
func (s *season) undecided() (outing, error) {
	sl := slot{trail: traverse, about: "the long way over", places: 10, asked: 9, staff: []int{2, 9, 10},
		notice: "For people who walk every week. The shuttle is set the evening before; tell us how many seats you " +
			"have."}
	o := s.schedule(sl, s.nextMorning())
	if err := s.expect(&o, hot(s.forecast(o.hike.Start, 2))); err != nil {
		return o, err
	}
	if o.plan.Plan.Verdict.Decision == plan.Go {
		return o, errNoAttempt
	}
	return o, s.post(&o, sl.asked)
}

// When an undecided hike may start, and how soon at the earliest. Our judgment.
const (
	earliestStart = 5 * time.Hour
	latestStart   = 10 * time.Hour
	soonest       = 4 * time.Hour
)

// nextMorning returns the latest morning start whose decision is 20 minutes overdue. If there
// is none, it returns the earliest start of tomorrow, whose decision is due within hours.
func (s *season) nextMorning() time.Time {
	limit := s.now.Add(rules.DefaultRules().DecisionLead - 20*time.Minute).Truncate(5 * time.Minute)
	for day := 1; day >= 0; day-- {
		date := s.now.AddDate(0, 0, day)
		at := clock(date, latestStart)
		if at.After(limit) {
			at = limit
		}
		if !at.Before(clock(date, earliestStart)) && at.Sub(s.now) >= soonest {
			return at
		}
	}
	return clock(s.now.AddDate(0, 0, 1), earliestStart)
}
