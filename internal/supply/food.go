package supply

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/unit"
)

// BeforeStartFood is food to eat before setting out. Common practice, no source.
const BeforeStartFood unit.Energy = 300

// Food for each hour on the trail. Common practice, no source: 100 to 200 kcal, the upper end when load, speed, trail
// or heat are harder. Both are far below what is spent; the rest is eaten before and after.
const (
	leastFood unit.EnergyRate = 100
	mostFood  unit.EnergyRate = 200
)

// Our judgment: the low end is for the Army table's easy work, 250 W, the upper end for its hard work, 600 W, with a
// straight line between them.
const (
	lowFoodAt  = 250.0
	highFoodAt = 600.0
)

// Food returns the range to eat an hour, and what to carry for a time at a power, rounded up to 50 kcal. Apart from
// that rounding none is more than what is spent.
func Food(p unit.Power, forTime time.Duration) (low, high unit.EnergyRate, carry unit.Energy) {
	power := unit.Power(between(p.Watts(), 0, mostPower))
	spend := power.PerHour()
	low, high = min(leastFood, spend), min(mostFood, spend)
	share := between((power.Watts()-lowFoodAt)/(highFoodAt-lowFoodAt), 0, 1)
	rate := low + (high-low)*unit.EnergyRate(share)
	forTime = max(0, min(forTime, longestTrip))
	return low, high, upToFifty(unit.Energy(rate.KilocaloriesPerHour() * forTime.Hours()))
}

func upToFifty(e unit.Energy) unit.Energy {
	// Our judgment: a bar or a handful of nuts is about 50 kcal.
	return unit.Energy(math.Ceil(float64(e/50)-dust)) * 50
}

// WaterMass returns the mass of water without bottles.
func WaterMass(v unit.Volume) unit.Mass {
	// 1.00 kg/L (0.997 at 25 C).
	return unit.Mass(v.Litres())
}

// LoadWarning is the load above which there is a remark: a tenth of the body mass, a figure for day hikes from a weak
// source. Water for the desert exceeds it. It is never a reason to carry less water.
const LoadWarning unit.Fraction = 0.10

// LoadShare returns a pack's mass as a share of the body's.
func LoadShare(body, kit unit.Mass, water unit.Volume) (unit.Fraction, error) {
	switch {
	case !(body >= lightest && body <= heaviest):
		return 0, fmt.Errorf("body mass %g kg is not between %g and %g kg",
			float64(body), float64(lightest), float64(heaviest))
	case !(kit >= 0 && kit <= body):
		return 0, fmt.Errorf("kit %g kg is not between 0 and the body's %g kg", float64(kit), float64(body))
	case !(water >= 0 && WaterMass(water) <= body):
		return 0, fmt.Errorf("water %g L is not between 0 and the body's mass", float64(water))
	}
	return unit.Fraction((kit + WaterMass(water)) / body), nil
}
