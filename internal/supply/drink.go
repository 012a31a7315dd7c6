package supply

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

// Ceilings on drinking. TB MED 507 (2003): 1 1/2 quarts an hour (1.42 L) and 12 quarts a
// day (11.4 L). NIOSH 2017-126: never above 48 oz, 1.42 L, an hour.
const (
	MaxDrinking unit.Flow   = 1.42
	MaxDay      unit.Volume = 11.4
)

// CautionDrinking is the steady rate above which a plan is questioned. Trade practice: a
// plan that needs more than 1.0 L/h throughout is a route too long, and too much plain
// water lowers the salt of the blood.
const CautionDrinking unit.Flow = 1.0

// DayFloor is the least to bring to a day in low desert: NPS, a gallon (3.8 to 4 L) for each
// person and day.
const DayFloor unit.Volume = 4

// BeforeStart is water to drink before setting out. Common practice, no source.
const BeforeStart unit.Volume = 1

// sunQuarter is TB MED 507's allowance of a quarter quart an hour for full sun.
const sunQuarter = unit.USQuartPerHour / 4

// Drink returns the rate to plan for: the ration, a quarter quart more in full sun, and in
// sun and table heat no less than must evaporate to carry the power away. It never passes
// MaxDrinking. Full shade earns no quarter off; House judgement: shade on a trail ends.
func Drink(wbgt unit.Temperature, p unit.Power, sunny bool) unit.Flow {
	rate := Ration(wbgt, WorkOf(p))
	if sunny {
		rate += sunQuarter
	}
	if _, hot := categoryAt(wbgt); hot && sunny {
		rate = max(rate, SweatFloor(p))
	}
	return min(rate, MaxDrinking)
}

// DrinkSweating returns Drink raised to a known sweat loss, for plans that have the body's
// heat balance. The reference for it is Sweat.
func DrinkSweating(wbgt unit.Temperature, p unit.Power, sunny bool, loss unit.Flow) unit.Flow {
	return min(max(Drink(wbgt, p, sunny), between(loss, 0, MaxDrinking)), MaxDrinking)
}

// halfLitre is the step in which water is packed. Trade practice: round up to 0.5 L.
const halfLitre unit.Volume = 0.5

// dust is the least part of a half litre that counts as water: a tenth of a millilitre.
// House judgement; it keeps 0.1 + 0.2 from costing another bottle.
const dust = 0.0002

func upToHalf(v unit.Volume) unit.Volume {
	return unit.Volume(math.Ceil(float64(v/halfLitre)-dust)) * halfLitre
}

// longestTrip is a House judgement: water for more than four days is not carried.
const longestTrip = 96 * time.Hour

// mostRate is a House judgement: above ten litres an hour a rate is a slip.
const mostRate unit.Flow = 10

// Carry returns the water for a rate and a time, rounded up to half litres. A rate or time
// below zero counts as zero; a rate that is no number counts as MaxDrinking.
func Carry(rate unit.Flow, forTime time.Duration) unit.Volume {
	if math.IsNaN(float64(rate)) {
		rate = MaxDrinking
	}
	rate = between(rate, 0, mostRate)
	forTime = max(0, min(forTime, longestTrip))
	return max(0, upToHalf(unit.Volume(rate.LitresPerHour()*forTime.Hours())))
}

// GroupReserve returns the water a group carries beside what each person has: 2 L, or a
// quarter litre a person if that is more (trade practice, a house default there). It is
// never part of anyone's need. One person alone has no group to carry it.
func GroupReserve(persons int) unit.Volume {
	if persons <= 1 {
		return 0
	}
	return max(2, 0.25*unit.Volume(persons))
}

// Band is a published range of drinking rates.
type Band struct {
	Source    string
	Low, High unit.Flow
}

// SecondOpinions returns the published ranges that a rate is shown beside.
func SecondOpinions() []Band {
	return []Band{
		// NIOSH 2017-126: 8 oz every 15 to 20 min, 24 to 32 oz an hour.
		{"NIOSH 2017-126, working in heat", 24 * fluidOunce, 32 * fluidOunce},
		// ACSM position stand 2007, MSSE 39:377-390: as thirst asks, 0.4 to 0.8 L/h to start.
		{"ACSM 2007, long runs, by thirst", 0.4, 0.8},
		// NPS, canyon hiking: half a quart to a quart for each hour of walking, with salty food.
		{"NPS, canyon walking", unit.USQuartPerHour / 2, unit.USQuartPerHour},
	}
}

const fluidOunce = unit.USQuartPerHour / 32

// Place says where a rate lies: "below", "within" or "above". A millilitre an hour is
// nothing.
func (b Band) Place(rate unit.Flow) string {
	const slack = 0.001
	switch {
	case rate < b.Low-slack:
		return "below"
	case rate <= b.High+slack:
		return "within"
	default:
		return "above"
	}
}
