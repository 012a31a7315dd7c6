package watch

import (
	"errors"
	"fmt"
	"math"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// Common practice, stated in scouting texts and by walking clubs: four adults are the
// fewest that can leave one with the injured person and send two for help.
const enoughAdults = 4

// Promise is what the plan promised about the return, as people were told before the walk.
type Promise struct {
	// Scheduled is the planned time of departure.
	Scheduled time.Time
	// P50 is the median duration of such walks; nine in ten take no longer than P90.
	P50, P90 time.Duration
	// ShortP50 and ShortP90 are those of the short route, zero if there is none.
	ShortP50, ShortP90 time.Duration
	// HeatFlag means that great heat is forecast (rules.Rules.HotDay). Minors and
	// MedicalCard mean that there is at least one in the group.
	HeatFlag, Minors, MedicalCard bool
	// Adults is how many adults walk, including staff. Zero is not known and counts as few.
	Adults int
	// OffBy is when everyone should be off the trail because of heat, Dusk the end of civil
	// twilight, WaterBy when the planned water runs out. Each is zero if the plan has none.
	// No reported delay moves them. A late start does not move heat and dusk; water is drunk from the
	// departure on, and ends later or earlier with it.
	OffBy, Dusk, WaterBy time.Time
	// Points are the named places of the trail, for reading counts with a time.
	Points []Point
	// Margins are the house's; zero means the defaults.
	Margins Margins
}

// PromiseOf reads what was promised before the departure from a plan. The roster says who
// walks.
func PromiseOf(h hike.Hike, p plan.Plan, roster party.Roster) Promise {
	out := Promise{
		Scheduled: h.Start,
		P50:       p.Time.P50.Duration(), P90: p.Time.P90.Duration(),
		HeatFlag: p.Heat.PeakAir >= h.Rules().HotDay,
		OffBy:    p.Heat.OffBy.Time,
		Dusk:     p.Sun.CivilDusk.Time,
		Points:   pointsOf(p.Time),
		Margins:  MarginsOf(h.Rules()),
	}
	if p.Short != nil {
		out.ShortP50, out.ShortP90 = p.Short.P50.Duration(), p.Short.P90.Duration()
	}
	for _, e := range roster {
		if e.Minor {
			out.Minors = true
		} else {
			out.Adults++
		}
	}
	if rate := p.Water.Drink.LitresPerHour(); rate > 0 {
		out.WaterBy = h.Start.Add(time.Duration(p.Water.Carry.Litres() / rate * float64(time.Hour)))
	}
	return out
}

// AdjustedTo returns the promise for the people who really walk: those who did not come or
// were turned away are left out, and walk-ups count. Who walks decides how soon help is
// called.
//
// Our judgment: if people left without names, or nobody has reported the departure,
// everybody who may be walking counts. An action line counts as a medical card, whatever it
// says.
func (p Promise) AdjustedTo(s party.State) Promise {
	if !s.Departed.IsZero() && !p.WaterBy.IsZero() {
		p.WaterBy = p.WaterBy.Add(s.Departed.Sub(p.Scheduled))
	}
	if len(s.People) == 0 {
		return p
	}
	if s.Departure.Route == party.RouteShort && p.ShortP90 > 0 {
		p.P50, p.P90, p.Points = p.ShortP50, p.ShortP90, nil
	}
	p.Adults, p.Minors, p.MedicalCard = 0, false, false
	known := !s.Departed.IsZero() && s.Unnamed == 0
	for _, x := range s.People {
		if !mayWalk(x, known) {
			continue
		}
		if x.Minor {
			p.Minors = true
		} else {
			p.Adults++
		}
		p.MedicalCard = p.MedicalCard || x.ActionLine
	}
	return p
}

// mayWalk reports whether a person walks or may walk. known means that everybody who left is
// known by name.
func mayWalk(x party.Person, known bool) bool {
	switch x.Where {
	case party.WhereAbsent, party.WhereTurnedAway:
		return false
	case party.WhereExpected, party.WhereHere:
		return !known
	}
	return true
}

// Validate reports what makes a watch on the promise impossible.
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

// Urgent lists, in words, why help is called sooner than usual. It is empty for the usual
// wait.
func (p Promise) Urgent() []string {
	var why []string
	add := func(applies bool, words string) {
		if applies {
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

// The upper decile of the standard normal distribution, 1.2816 (Abramowitz and Stegun 1964,
// table 26.5).
const decile = 1.2815515655446004

// sigma is the standard deviation of the logarithm of the duration, from P50 and P90.
func (p Promise) sigma() float64 { return math.Log(float64(p.P90)/float64(p.P50)) / decile }

// StillNormal returns the probability that an ordinary walk of this plan takes the elapsed
// time or longer. Durations are log-normal through P50 and P90, as in the plan.
func (p Promise) StillNormal(elapsed time.Duration) unit.Fraction {
	if elapsed <= 0 {
		return 1
	}
	sigma := p.sigma()
	if !(sigma > 0) { // no spread: every walk takes P50
		if elapsed <= p.P50 {
			return 1
		}
		return 0
	}
	z := math.Log(float64(elapsed)/float64(p.P50)) / sigma
	return unit.Fraction(math.Erfc(z/math.Sqrt2) / 2)
}

// within returns the time on the trail that a share of ordinary walks does not exceed, on
// the log-normal through P50 and P90.
func (p Promise) within(share unit.Fraction) time.Duration {
	sigma := p.sigma()
	if share == 0.90 || !(sigma > 0) {
		return p.P90
	}
	z := math.Sqrt2 * math.Erfinv(2*float64(share)-1)
	return time.Duration(float64(p.P50) * math.Exp(sigma*z))
}

// Limit is a deadline that no report moves.
type Limit struct {
	Name string
	At   time.Time
}

// Limits lists the deadlines of the plan. Dusk before the start is not one: such a plan is
// for a walk in the dark.
func (p Promise) Limits() []Limit {
	return p.afterStart(
		Limit{"the heat limit", p.OffBy}, Limit{"darkness", p.Dusk}, Limit{"the end of the water", p.WaterBy})
}

// hardLimits lists the deadlines past which waiting is itself unsafe. The heat limit is not
// one: the board shows a party that is out past it, and HeatFlag has already shortened the
// wait.
func (p Promise) hardLimits() []Limit {
	return p.afterStart(Limit{"darkness", p.Dusk}, Limit{"the end of the water", p.WaterBy})
}

func (p Promise) afterStart(limits ...Limit) []Limit {
	var list []Limit
	for _, l := range limits {
		l.At = l.At.Truncate(time.Minute) // clocks that people read show minutes; a limit is not shown later
		if l.At.After(p.Scheduled) {
			list = append(list, l)
		}
	}
	return list
}

// Point is a named place on the way.
type Point struct {
	Name  string
	Along unit.Length
	// Share is the share of the walk's time that is over here, BackShare the same when passing again on the way
	// back; zero where the walk does not.
	Share, BackShare unit.Fraction
}

// pointsOf reads the places and their shares of the walk from a plan.
func pointsOf(t plan.Time) []Point {
	var list []Point
	for _, p := range t.Points {
		list = append(list, Point{Name: p.Name, Along: p.Along, Share: p.Share, BackShare: p.BackShare})
	}
	return list
}
