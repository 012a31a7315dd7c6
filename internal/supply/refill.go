package supply

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// Refill is a place on the way where there may be water.
type Refill struct {
	Name  string
	Along unit.Length   // from the start
	After time.Duration // from departure until the party gets there, at the quantile used for water
	Sure  bool          // water is there on the day; false for a spring that may be dry
}

// Filling is how much to take along from a place: from the start (no name), or from a refill.
type Filling struct {
	Name  string
	Along unit.Length
	After time.Duration
	Until time.Duration // when the party reaches the next sure water, or the end
	Carry unit.Volume
}

// Fillings returns the water to carry from the start and from each sure refill to the next. A refill that is not sure
// counts as dry. The group reserve is not included.
func Fillings(rate unit.Flow, end time.Duration, refills []Refill) ([]Filling, error) {
	if end <= 0 || end > longestTrip {
		return nil, fmt.Errorf("duration %s is not above 0 and up to %s", end, longestTrip)
	}
	places := []Filling{{}}
	last := Refill{}
	for _, r := range refills {
		if err := r.follows(last, end); err != nil {
			return nil, err
		}
		last = r
		if r.Sure {
			places = append(places, Filling{Name: r.Name, Along: r.Along, After: r.After})
		}
	}
	for i := range places {
		places[i].Until = end
		if i+1 < len(places) {
			places[i].Until = places[i+1].After
		}
		places[i].Carry = Carry(rate, places[i].Until-places[i].After)
	}
	return places, nil
}

func (r Refill) follows(last Refill, end time.Duration) error {
	switch {
	case r.Name == "":
		return fmt.Errorf("refill at %s has no name", r.After)
	case !(r.Along >= last.Along):
		return fmt.Errorf("refill %s at %g m is not after %g m", r.Name, r.Along.Metres(), last.Along.Metres())
	case r.After < last.After || r.After > end:
		return fmt.Errorf("refill %s after %s is not between %s and %s", r.Name, r.After, last.After, end)
	}
	return nil
}

// BottlesToBring returns the volume that the bottles must hold: the most that is taken along from any one place.
func BottlesToBring(fillings []Filling) unit.Volume {
	most := unit.Volume(0)
	for _, f := range fillings {
		most = max(most, f.Carry)
	}
	return most
}
