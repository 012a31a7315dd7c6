package walk

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Spread is how far real times are from the estimate: log standard deviations of three independent errors. Their
// squares add up to that of Sigma.
type Spread struct {
	Person unit.Fraction // who came, compared with the announced party
	Day    unit.Fraction // how the day goes: heat, mood, sleep, talk
	Route  unit.Fraction // the trail: waits, wrong turns, bad footing; averages out along the way
}

// defaultSigma is trade practice, on overdue parties: 0.20, 29 % later at P90, where there is no history. This is on
// the wide side. Recordings of single walkers on real trails, whole trips with stops, scatter about a slope model by
// about 0.2, and a party varies less than one person: the slowest of ten by 0.59 of that (Harter 1961, Biometrika
// 48:151-165, from memory). The difference is a margin for strangers, rough ground and leaders who announce an
// optimistic pace. A trail with recorded times has its own.
const defaultSigma unit.Fraction = 0.20

// SpreadSource is where the spread comes from, as a plan explains it.
const SpreadSource = "trade practice where there is no history: log-normal, sigma 0.20, so P90 is 29 % above P50"

// Our judgment, no published split: half of the variance is who came, a quarter the day and a quarter the route.
// Three quarters slow all legs alike, so a slow first hour predicts a slow day.
const (
	personShare = 0.50
	dayShare    = 0.25
	routeShare  = 0.25
)

// DefaultSpread returns the spread where there is no history: 0.141, 0.100 and 0.100, together 0.20.
func DefaultSpread() Spread {
	part := func(share float64) unit.Fraction { return defaultSigma * unit.Fraction(math.Sqrt(share)) }
	return Spread{Person: part(personShare), Day: part(dayShare), Route: part(routeShare)}
}

// Sigma returns the log standard deviation of the whole time.
func (s Spread) Sigma() unit.Fraction {
	return unit.Fraction(math.Hypot(float64(s.allDay()), float64(s.Route)))
}

// allDay returns the part that slows all legs alike.
func (s Spread) allDay() unit.Fraction {
	return unit.Fraction(math.Hypot(float64(s.Person), float64(s.Day)))
}

// Scaled returns a spread of the same proportions with a known sigma, such as one from recorded times.
func (s Spread) Scaled(sigma unit.Fraction) Spread {
	by := sigma / s.Sigma()
	return Spread{Person: s.Person * by, Day: s.Day * by, Route: s.Route * by}
}

// mostSigma is our judgment: with a sigma of 1, P90 is 3.6 times P50.
const mostSigma unit.Fraction = 1

func (s Spread) check() error {
	parts := []struct {
		name  string
		value unit.Fraction
	}{{"person", s.Person}, {"day", s.Day}, {"route", s.Route}}
	for _, p := range parts {
		if !(p.value >= 0 && p.value <= mostSigma) {
			return fmt.Errorf("spread by %s %g is not between 0 and %g", p.name, float64(p.value), float64(mostSigma))
		}
	}
	return checkSigma(s.Sigma())
}

func checkSigma(sigma unit.Fraction) error {
	if !(sigma > 0 && sigma <= mostSigma) {
		return fmt.Errorf("sigma %g is not above 0 and up to %g", float64(sigma), float64(mostSigma))
	}
	return nil
}
