package supply

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

// MaxDrinking is the ceiling on drinking. TB MED 507 (2003): 1 1/2 quarts an hour (1.42 L).
// NIOSH 2017-126: never above 48 oz, 1.42 L, an hour.
const MaxDrinking unit.Flow = 1.42

// BeforeStart is water to drink before setting out. Common practice, no source.
const BeforeStart unit.Volume = 1

// DrinkSource is where Drink comes from, as a plan explains it.
const DrinkSource = "TB MED 507 (2003) cell for heat and work, a quarter quart more in sun, ceiling 1.42 L/h"

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

// gramsPerWattHour is the water that carries one watt away for an hour: 3600 s over 2.43
// MJ/kg, the heat of vaporisation of sweat at skin temperature; 1.48.
const gramsPerWattHour = 3600 / 2430.0

// mostPower is a House judgement: about twice hard work; no walker holds 1500 W for an hour.
const mostPower = 1500.0

// SweatFloor returns the water that must evaporate to carry away all of a power. It holds
// where the air and the sun take no heat from the skin: in sun at or above about 26 C WBGT.
func SweatFloor(p unit.Power) unit.Flow {
	return unit.Flow(gramsPerWattHour * between(p.Watts(), 0, mostPower) / 1000)
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
