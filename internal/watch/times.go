package watch

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Common practice, stated in scouting texts and by walking clubs: four adults are the
// least that can leave one with the hurt person and send two for help.
const enoughAdults = 4

// Promise is what the plan promised about the return, as it was told before the walk.
type Promise struct {
	// Scheduled is the planned time of departure.
	Scheduled time.Time
	// P50 is as likely too long as too short; nine walks in ten take no longer than P90.
	P50, P90 time.Duration
	// HeatFlag says that 95 F or more is forecast on an exposed trail. Minors and
	// MedicalCard say that there is one in the group.
	HeatFlag, Minors, MedicalCard bool
	// Adults is how many adults walk, staff included. Zero is not known and counts as few.
	Adults int
	// OffBy is when heat wants everyone off the trail, Dusk the end of civil twilight,
	// WaterBy when the water planned runs out. Zero where the plan names none. They are
	// instants: neither a late start nor a delay moves them.
	OffBy, Dusk, WaterBy time.Time
	// Points are the named places of the trail, by which a timed count can be read.
	Points []Point
	// Margins are the house's; zero stands for the defaults.
	Margins Margins
}

// Validate reports what keeps a watch from being kept on the promise.
func (p Promise) Validate() error {
	switch {
	case p.Scheduled.IsZero():
		return errors.New("promise: scheduled is empty, so no clock can run")
	case p.P50 <= 0:
		return fmt.Errorf("promise: the likely duration is %v, not a time on the trail", p.P50)
	case p.P90 < p.P50:
		return fmt.Errorf("promise: the long duration %v is shorter than the likely one %v", p.P90, p.P50)
	}
	return nil
}

// Urgent lists why help is called sooner than usual, in words; empty for the usual wait.
func (p Promise) Urgent() []string {
	var why []string
	add := func(is bool, words string) {
		if is {
			why = append(why, words)
		}
	}
	add(p.HeatFlag, "great heat is forecast on an exposed trail")
	add(p.Minors, "a minor is in the group")
	add(p.MedicalCard, "someone in the group has a medical card")
	add(p.Adults == 0, "how many adults walk is not known")
	add(p.Adults > 0 && p.Adults < enoughAdults, "fewer than four adults walk")
	return why
}

// StillNormal returns how likely it is that an ordinary walk of this plan takes the time
// elapsed or longer: how likely the silence is to be nothing. Durations are taken as
// log-normal through P50 and P90, as the plan's spread is.
func (p Promise) StillNormal(elapsed time.Duration) unit.Fraction {
	if elapsed <= 0 {
		return 1
	}
	sigma := p.sigma()
	if !(sigma > 0) { // no spread promised: a step at P50
		return step(elapsed <= p.P50)
	}
	z := math.Log(float64(elapsed)/float64(p.P50)) / sigma
	return unit.Fraction(math.Erfc(z/math.Sqrt2) / 2)
}

// The upper decile of the standard normal distribution, 1.2816 (Abramowitz and Stegun
// 1964, table 26.5).
const decile = 1.2815515655446004

func step(is bool) unit.Fraction {
	if is {
		return 1
	}
	return 0
}

// Times are the instants of one watch.
type Times struct {
	// Start is the departure on record, or the scheduled one while there is none.
	Start time.Time
	// DepartureConfirmed says that Start is on record.
	DepartureConfirmed bool
	// Expected is the likely return. At Watch on-call starts asking, at Widen asks more
	// widely, at Call calls for help.
	Expected, Watch, Widen, Call time.Time
	// Trouble is when help was asked for, zero for never.
	Trouble time.Time
	// Why says in words what makes Watch or Call earlier than usual.
	Why []string
}

// TimesOf returns the instants for a departure, zero if none is on record, and for the
// delay that staff have reported.
func TimesOf(p Promise, departed time.Time, delay time.Duration) Times {
	t := Times{Start: p.Scheduled, DepartureConfirmed: !departed.IsZero(), Why: p.Urgent()}
	if t.DepartureConfirmed {
		t.Start = departed
	}
	delay = max(0, delay)
	t.Expected = t.Start.Add(p.P50 + delay)
	t.Watch = t.Start.Add(p.within(p.margins().Watch) + delay)
	for _, l := range p.hardLimits() {
		if l.At.Before(t.Watch) {
			t.Watch = latest(l.At, t.Start)
			t.Why = because(t.Why, l.Name+" comes before the latest return")
		}
	}
	return t.ladder(p)
}

// TimesFor returns the instants that the roll leaves: from its departure and delay, from
// those who left early and have not been confirmed at the car, and from calls for help.
func TimesFor(p Promise, s party.State) Times {
	t := TimesOf(p, s.Departed, s.Delay)
	if by := s.ConfirmBy(); !by.IsZero() && by.Before(t.Watch) {
		t.Watch = by
		t.Why = append(t.Why, "people who left early are not confirmed at the car")
		t = t.ladder(p)
	}
	if at := s.TroubleAt; !at.IsZero() {
		t.Trouble = at
		t.Watch, t.Widen, t.Call = earliest(t.Watch, at), earliest(t.Widen, at), earliest(t.Call, at)
		t.Why = append(t.Why, "help was asked for")
	}
	return t
}

// ladder sets the steps after the watch time. House judgement, after the rule that fuel
// exhausted means distress (ICAO Annex 12, 5.2): darkness or the end of the water within
// the wait shortens it, though never under the urgent wait of asking.
func (t Times) ladder(p Promise) Times {
	m := p.margins()
	wait := m.Call
	if len(p.Urgent()) > 0 {
		wait = m.Urgent
	}
	t.Call = t.Watch.Add(wait)
	for _, l := range p.hardLimits() {
		if l.At.Before(t.Call) && t.Call.Sub(t.Watch) > m.Urgent {
			t.Call = earliest(t.Call, latest(l.At, t.Watch.Add(m.Urgent)))
			t.Why = because(t.Why, l.Name+" comes before the call time")
		}
	}
	t.Widen = earliest(t.Watch.Add(m.Widen), t.Call)
	return t
}

func because(why []string, words string) []string {
	if slices.Contains(why, words) {
		return why
	}
	return append(why, words)
}

// Limit is a deadline that no report moves.
type Limit struct {
	Name string
	At   time.Time
}

// Limits lists the deadlines that the plan names. Dusk before the start is none: such a
// plan means to walk in the dark.
func (p Promise) Limits() []Limit {
	return p.known(Limit{"the heat limit", p.OffBy}, Limit{"darkness", p.Dusk}, Limit{"the end of the water", p.WaterBy})
}

// hardLimits are those past which waiting is unsafe in itself. The heat limit is not one:
// the board tells of a party past it, and the heat flag has shortened the wait already.
func (p Promise) hardLimits() []Limit {
	return p.known(Limit{"darkness", p.Dusk}, Limit{"the end of the water", p.WaterBy})
}

func (p Promise) known(limits ...Limit) []Limit {
	var list []Limit
	for _, l := range limits {
		if l.At.After(p.Scheduled) {
			list = append(list, l)
		}
	}
	return list
}

// ResumeAfterThunder returns when a group may go on: half an hour after the last thunder
// (the thirty-minute rule of the US National Weather Service), zero if none was heard.
// It moves no clock: staff report the delay.
func ResumeAfterThunder(heard ...time.Time) time.Time {
	var last time.Time
	for _, at := range heard {
		last = latest(last, at)
	}
	if last.IsZero() {
		return last
	}
	return last.Add(30 * time.Minute)
}

func earliest(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
