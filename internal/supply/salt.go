package supply

import (
	"math"

	"saltbush/internal/unit"
)

// Trailfood is a food to carry: its energy and, for salty ones, its sodium, both for 100 g.
type Trailfood struct {
	Name   string
	Energy unit.Energy
	Sodium unit.Mass // zero: not a salty food, or not known
}

// Trailfoods returns common foods, the salty ones first. Energy: USDA FoodData Central, SR
// legacy. Sodium: the same, from memory, and brands differ: for a handful, not for a diet.
func Trailfoods() []Trailfood {
	return []Trailfood{
		{"beef jerky", 410, 1785 * milligram},
		{"hard pretzels", 382, 1240 * milligram},
		{"cheddar", 408, 653 * milligram},
		{"potato crisps", 534, 525 * milligram},
		{"salted peanuts", 599, 320 * milligram},
		{"almonds", 579, 0}, {"walnuts", 654, 0}, {"pecans", 691, 0}, {"cashews", 553, 0}, {"pistachios", 560, 0},
		{"peanuts, raw", 567, 0}, {"peanut butter", 598, 0}, {"sunflower kernels", 584, 0}, {"pumpkin seeds", 574, 0},
		{"dark chocolate", 598, 0}, {"butter", 717, 0}, {"olive oil", 884, 0}, {"sugar", 387, 0}, {"honey", 304, 0},
		{"flour tortilla", 305, 0}, {"raisins", 299, 0}, {"dates", 277, 0}, {"dried apricots", 241, 0}, {"banana", 89, 0}, {"apple", 52, 0},
	}
}

const milligram = unit.Gram / 1000

// SaltFor returns the sodium that goes with a volume of water: 20 to 30 milliequivalents a
// litre, 460 to 690 mg (Institute of Medicine, as the ACSM position stand of 2007 gives it,
// from memory). NIOSH 2017-126: food replaces the salt of ordinary work, so it is eaten, not
// taken as tablets.
func SaltFor(water unit.Volume) (low, high unit.Mass) {
	litres := unit.Mass(between(water, 0, mostBottled))
	return 460 * milligram * litres, 690 * milligram * litres
}

// SaltyPortion returns how much of a food brings the lower figure of SaltFor, rounded up to
// 10 g, and whether the food is salty at all.
func SaltyPortion(f Trailfood, water unit.Volume) (unit.Mass, bool) {
	if !(f.Sodium > 0) {
		return 0, false
	}
	low, _ := SaltFor(water)
	tens := math.Ceil(float64(low/f.Sodium)*10 - dust)
	return unit.Mass(tens) * 10 * unit.Gram, true
}
