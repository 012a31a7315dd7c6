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

// Drink returns the rate to plan for: the ration, a quarter quart more in full sun, and in sun and table heat no less
// than must evaporate to carry the power away, up to MaxDrinking. Our judgment: there is no quarter less for full
// shade, since shade on a trail ends.
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

// gramsPerWattHour is the water that carries away one watt for an hour, 1.48 g: 3600 s over 2.43 MJ/kg, the heat of
// vaporization of sweat at skin temperature.
const gramsPerWattHour = 3600 / 2430.0

// mostPower is our judgment: about twice hard work; no walker sustains 1500 W for an hour.
const mostPower = 1500.0

// SweatFloor returns the water that must evaporate to carry away all of a power. It applies where the skin loses no
// heat to the air: in sun at or above about 26 C WBGT.
func SweatFloor(p unit.Power) unit.Flow {
	return unit.Flow(gramsPerWattHour * between(p.Watts(), 0, mostPower) / 1000)
}

// halfLiter is the step in which water is packed. Trade practice: round up to 0.5 L.
const halfLiter unit.Volume = 0.5

// dust is the smallest part of a half liter that counts: a tenth of a milliliter. Our judgment: rounding errors such
// as 0.1 + 0.2 must not cost another bottle.
const dust = 0.0002

func upToHalf(v unit.Volume) unit.Volume {
	return unit.Volume(math.Ceil(float64(v/halfLiter)-dust)) * halfLiter
}

// longestTrip is our judgment: water for more than four days is not carried.
const longestTrip = 96 * time.Hour

// mostRate is our judgment: a rate above ten liters an hour is a mistake.
const mostRate unit.Flow = 10

// Carry returns the water for a rate and a time, rounded up to half liters. A rate or time below zero counts as zero,
// and NaN as MaxDrinking.
func Carry(rate unit.Flow, forTime time.Duration) unit.Volume {
	if math.IsNaN(float64(rate)) {
		rate = MaxDrinking
	}
	rate = between(rate, 0, mostRate)
	forTime = max(0, min(forTime, longestTrip))
	return max(0, upToHalf(unit.Volume(rate.LitresPerHour()*forTime.Hours())))
}

// GroupReserve returns the water a group carries in addition to what each person has: 2 L, or a quarter liter a
// person if that is more (trade practice). It is never part of anyone's need. One person alone has none.
func GroupReserve(persons int) unit.Volume {
	if persons <= 1 {
		return 0
	}
	return max(2, 0.25*unit.Volume(persons))
}
