package walk

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/unit"
)

// Leg is a piece of trail with one slope and surface, walked in one direction. Length is horizontal.
type Leg struct {
	Length  unit.Length
	Slope   unit.Slope
	Surface Surface
}

// Limits of a leg. Our judgment: no marked trail has a 200 km leg, and a slope above 2 (63 degrees) is rock climbing
// or an error in the track.
const (
	longestLeg  unit.Length = 200 * unit.Kilometre
	sheerestLeg unit.Slope  = 2
)

func (l Leg) check() error {
	switch {
	case !(l.Length >= 0 && l.Length <= longestLeg):
		return fmt.Errorf("length %g m is not between 0 and %g m", l.Length.Metres(), longestLeg.Metres())
	case !(l.Slope >= -sheerestLeg && l.Slope <= sheerestLeg):
		return fmt.Errorf("slope %g is not between -%g and %[2]g", float64(l.Slope), float64(sheerestLeg))
	}
	return nil
}

// seconds returns the median hiker's time over the leg.
func (l Leg) seconds() (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	share, err := l.Surface.speedShare()
	if err != nil {
		return 0, err
	}
	return l.Length.Metres() / (Rate(l.Slope).MetresPerSecond() * share), nil
}

// Settings are the parts of an estimate that an organization could change.
type Settings struct {
	RestPerHour time.Duration // planned rest for each hour of walking
	LongRest    time.Duration // one long rest, such as lunch
	Regroups    int           // junctions and other places where the line closes up
	RegroupEach time.Duration // wait at each; one person alone waits at none
	Spread      Spread
}

// DefaultSettings returns the defaults.
func DefaultSettings() Settings {
	return Settings{
		// Trade practice, table of rests: 5 to 10 min in each hour out, 10 min in heat. Ten minutes after fifty of
		// walking are twelve for each hour of walking. Recordings of single walkers agree: whole trips with stops
		// take about 1.2 times the walking.
		RestPerHour: 12 * time.Minute,
		// Trade practice, on group pace: 2 to 4 min for each junction. The default counts no junctions.
		RegroupEach: 3 * time.Minute,
		Spread:      DefaultSpread(),
	}
}

// RestFormula explains RestPerHour of the default settings in a plan.
const RestFormula = "10 min in each hour out: 12 min for each hour of walking"

// Our judgment: a day walk of four days is an error in the track, and so is one of a second.
const (
	leastWalk   = time.Second
	longestWalk = 96 * time.Hour
)

// Our judgment: limits that only a typo would exceed. Five hours of rest to one of walking is the strictest row of
// the US Army's table, 10 min of work and 50 of rest.
const (
	mostRest     = 5 * time.Hour
	longestWait  = time.Hour
	longestRest  = 6 * time.Hour
	mostRegroups = 200
)

func (s Settings) check() error {
	switch {
	case s.RestPerHour < 0 || s.RestPerHour > mostRest:
		return fmt.Errorf("rest per hour %s is not between 0 and %s", s.RestPerHour, mostRest)
	case s.LongRest < 0 || s.LongRest > longestRest:
		return fmt.Errorf("long rest %s is not between 0 and %s", s.LongRest, longestRest)
	case s.Regroups < 0 || s.Regroups > mostRegroups:
		return fmt.Errorf("regroups %d is not between 0 and %d", s.Regroups, mostRegroups)
	case s.RegroupEach < 0 || s.RegroupEach > longestWait:
		return fmt.Errorf("wait at a regroup %s is not between 0 and %s", s.RegroupEach, longestWait)
	}
	return s.Spread.check()
}

// Estimate is the time from departure to the last step, log-normal about its median. Breaks are spread along the way
// in proportion to the walking.
//
// An estimate is a plain value that holds all it needs, so a stored one gives the same answers.
type Estimate struct {
	MovingP50 time.Duration   // planned walking, median
	Breaks    time.Duration   // planned rests and waits
	P50       time.Duration   // from departure, median
	P90       time.Duration   // from departure; nine in ten are back by then
	Sigma     unit.Fraction   // log standard deviation of the time still to go
	Ends      []unit.Fraction // share of the work done at the end of each leg
	Person    unit.Fraction   // parts of the spread as planned: who came
	Day       unit.Fraction   // and how the day goes
	Group     unit.Fraction   // these two combined, which slow all legs alike
	Route     unit.Fraction   // and the route itself
	Done      unit.Fraction   // share of the work done at the last report
	Past      time.Duration   // time since departure at the last report, Waited included
	Waited    time.Duration   // reported stops that were not planned
}

// NewEstimate estimates a walk with the default settings.
func NewEstimate(legs []Leg, party Party) (Estimate, error) {
	return DefaultSettings().Estimate(legs, party)
}

// Estimate estimates a walk. The error names the input that cannot belong to a walk.
func (s Settings) Estimate(legs []Leg, party Party) (Estimate, error) {
	if err := s.check(); err != nil {
		return Estimate{}, err
	}
	if err := party.check(); err != nil {
		return Estimate{}, err
	}
	ends, total, err := measure(legs)
	if err != nil {
		return Estimate{}, err
	}
	pace, err := party.Pace.timeFactor()
	if err != nil {
		return Estimate{}, err
	}
	taken := total / 3600 * pace * party.groupFactor() * party.packFactor()
	if !(taken >= leastWalk.Hours() && taken <= longestWalk.Hours()) {
		return Estimate{}, fmt.Errorf("walking time %g h is not between %s and %s", taken, leastWalk, longestWalk)
	}
	moving := hours(taken)
	return s.about(moving, s.breaks(moving, party), ends), nil
}

// measure returns the share of the work done at the end of each leg, and the median
// hiker's seconds in all.
func measure(legs []Leg) ([]unit.Fraction, float64, error) {
	ends := make([]unit.Fraction, len(legs))
	total := 0.0
	for i, leg := range legs {
		took, err := leg.seconds()
		if err != nil {
			return nil, 0, fmt.Errorf("leg %d: %w", i+1, err)
		}
		total += took
		ends[i] = unit.Fraction(total)
	}
	if total <= 0 {
		return nil, 0, fmt.Errorf("legs: %d of them with no length in all", len(legs))
	}
	for i := range ends {
		ends[i] /= unit.Fraction(total)
	}
	return ends, total, nil
}

func (s Settings) breaks(moving time.Duration, party Party) time.Duration {
	rest := hours(s.RestPerHour.Hours()*moving.Hours()) + s.LongRest
	if party.Alone() {
		return rest
	}
	return rest + time.Duration(s.Regroups)*s.RegroupEach
}

func (s Settings) about(moving, breaks time.Duration, ends []unit.Fraction) Estimate {
	e := Estimate{MovingP50: moving, Breaks: breaks, Ends: ends}
	e.Person, e.Day, e.Route = s.Spread.Person, s.Spread.Day, s.Spread.Route
	e.Group = s.Spread.allDay()
	e.Sigma = s.Spread.Sigma()
	e.P50 = moving + breaks
	e.P90 = e.Quantile(0.90)
	return e
}

// AboutP50 makes an estimate from a known median and spread, for a trail with recorded times. It has no legs and
// assumes that the work is even along the way.
func AboutP50(p50 time.Duration, sigma unit.Fraction) (Estimate, error) {
	if err := checkSigma(sigma); err != nil {
		return Estimate{}, err
	}
	s := DefaultSettings()
	s.Spread = s.Spread.Scaled(sigma)
	if p50 < leastWalk || p50 > longestWalk {
		return Estimate{}, fmt.Errorf("middle time %s is not between %s and %s", p50, leastWalk, longestWalk)
	}
	return s.about(p50, 0, nil), nil
}

// toGo returns the median of the time still to go.
func (e Estimate) toGo() time.Duration { return e.P50 - e.Past }

// Quantile returns the time from departure by which a share p of such walks are back: 0.5 gives P50. The share is
// limited to 0.001 and 0.999.
func (e Estimate) Quantile(p unit.Fraction) time.Duration {
	late := math.Exp(float64(e.Sigma) * normalQuantile(held(p)))
	return e.Past + nanoseconds(float64(e.toGo())*late)
}

// BackBy returns the share of such walks that are back within a time from departure.
func (e Estimate) BackBy(after time.Duration) unit.Fraction {
	left := after - e.Past
	switch {
	case e.toGo() <= 0:
		return arrived(left >= 0)
	case left <= 0:
		return 0
	}
	z := math.Log(float64(left)/float64(e.toGo())) / float64(e.Sigma)
	return unit.Fraction(normalShare(z))
}

func arrived(yes bool) unit.Fraction {
	if yes {
		return 1
	}
	return 0
}

// Reach returns the time from departure until a share of the work is done, at quantile q of the whole walk. What is
// behind the last report is spread evenly over the time it took.
func (e Estimate) Reach(share, q unit.Fraction) time.Duration {
	if e.Done > 0 && share <= e.Done {
		return time.Duration(float64(e.Past) * float64(share/e.Done))
	}
	if e.Done >= 1 {
		return e.Past
	}
	ahead := float64((share - e.Done) / (1 - e.Done))
	return e.Past + nanoseconds(ahead*float64(e.Quantile(q)-e.Past))
}
