package party

import (
	"fmt"
	"slices"

	"saltbush/internal/unit"
)

// Walker is one person's water at the trailhead.
type Walker struct {
	Name  string
	Need  unit.Volume // for the P90 of the route
	Holds unit.Volume // brought along
	Gives unit.Volume // offered to others, from what exceeds the need
}

// short returns how much the walker lacks.
func (w Walker) short() unit.Volume { return max(0, w.Need-w.Holds) }

// Sharing says who may start on a route.
type Sharing struct {
	Go    []Portion   // in the order of the walkers
	Stay  []string    // those who cannot be supplied, in that order
	Tied  []string    // those who lack the same, where only some of them can be supplied
	Spare unit.Volume // what is left over
}

// Portion is one walker who may go, and the water handed to them.
type Portion struct {
	Name  string
	Takes unit.Volume
}

// mostBottled is our judgment: nobody carries a hundred liters.
const mostBottled unit.Volume = 100

// sip is the smallest difference that counts when volumes are compared: a tenth of a milliliter.
const sip unit.Volume = 0.0001

// Share hands out spare water so that as many people as possible have all they need: first those who lack least, and
// equals in the order given. Part of a need helps nobody, so nobody gets a part. The stock is spare water at the cars
// and never includes the group reserve. Nobody gives what they need themselves.
func Share(walkers []Walker, stock unit.Volume) (Sharing, error) {
	pool, err := gather(walkers, stock)
	if err != nil {
		return Sharing{}, err
	}
	order := make([]int, len(walkers))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(walkers[a].short(), walkers[b].short()) })

	supplied := make([]bool, len(walkers))
	for _, i := range order {
		if lack := walkers[i].short(); lack <= pool+sip {
			supplied[i] = true
			pool = max(0, pool-lack)
		}
	}
	return report(walkers, supplied, pool), nil
}

func compare(a, b unit.Volume) int {
	switch {
	case a < b-sip:
		return -1
	case a > b+sip:
		return 1
	}
	return 0
}

// gather adds the gifts to the stock. It returns an error for impossible amounts.
func gather(walkers []Walker, stock unit.Volume) (unit.Volume, error) {
	if !(stock >= 0 && stock <= 10*mostBottled) {
		return 0, fmt.Errorf("stock %g L is not between 0 and %g L", float64(stock), float64(10*mostBottled))
	}
	for _, w := range walkers {
		if err := w.check(); err != nil {
			return 0, err
		}
		stock += w.Gives
	}
	return stock, nil
}

func (w Walker) check() error {
	limits := []struct {
		name  string
		value unit.Volume
	}{{"need", w.Need}, {"holds", w.Holds}, {"gives", w.Gives}}
	for _, l := range limits {
		if !(l.value >= 0 && l.value <= mostBottled) {
			return fmt.Errorf("%s: %s %g L is not between 0 and %g L",
				w.Name, l.name, float64(l.value), float64(mostBottled))
		}
	}
	if spare := max(0, w.Holds-w.Need); w.Gives > spare+sip {
		return fmt.Errorf("%s: gives %g L of the %g L held above their own need",
			w.Name, float64(w.Gives), float64(spare))
	}
	return nil
}

// report lists the outcome in the order given, and marks ties that the order decided.
func report(walkers []Walker, supplied []bool, pool unit.Volume) Sharing {
	s := Sharing{Spare: pool}
	for i, w := range walkers {
		if supplied[i] {
			s.Go = append(s.Go, Portion{Name: w.Name, Takes: w.short()})
		} else {
			s.Stay = append(s.Stay, w.Name)
		}
		if tied(walkers, supplied, i) {
			s.Tied = append(s.Tied, w.Name)
		}
	}
	return s
}

// tied reports whether another walker lacks the same and has the other outcome.
func tied(walkers []Walker, supplied []bool, i int) bool {
	for j, w := range walkers {
		if supplied[i] != supplied[j] && compare(w.short(), walkers[i].short()) == 0 {
			return true
		}
	}
	return false
}
