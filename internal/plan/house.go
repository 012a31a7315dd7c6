package plan

import (
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// House holds the rules that an organisation may set for itself. They are its own
// judgement, shown as such and never as law.
type House struct {
	// DaylightMargin is how long before sunset everybody is to be off the trail.
	DaylightMargin time.Duration
	// ReturnFactor lengthens the way back when a turnaround is set.
	ReturnFactor float64
	// CallAfter is the wait from watch time to call time, CallAfterHeat the same when the
	// day is hot on an exposed trail.
	CallAfter     time.Duration
	CallAfterHeat time.Duration
	// HotDay is the air temperature from which the shorter wait holds.
	HotDay unit.Temperature
	// BodyMass and Load stand for an ordinary adult with water and kit.
	BodyMass unit.Mass
	Load     unit.Mass
	// LongDrinking is the drinking rate above which a plan is too long or too hot for
	// the route, whatever can be carried.
	LongDrinking unit.Flow
	Ladder       heat.Ladder
	// ForecastError is how much hotter than forecast a day may turn out, as a difference.
	// The verdict warns where it hangs on it. Zero leaves the question out.
	ForecastError unit.Temperature
}

// DefaultHouse returns the defaults: common practice of the trade where a figure exists,
// house judgement elsewhere.
func DefaultHouse() House {
	return House{
		// Common practice, no source: off the trail an hour before sunset.
		DaylightMargin: time.Hour,
		// Common practice, no source: the way back takes a quarter longer than hoped.
		ReturnFactor: 1.25,
		// House judgement after club practice of two times set before departure: an hour,
		// and half of it when heat shortens what a person can wait.
		CallAfter:     time.Hour,
		CallAfterHeat: 30 * time.Minute,
		// House judgement: 95 F, where workplace rules call for extra procedures
		// (California Title 8 s.3395).
		HotDay: unit.Fahrenheit(95),
		// From memory: the reference adult of ISO 7933 weighs 75 kg; 8 kg holds 4 L of
		// water and 4 kg of kit.
		BodyMass: 75 * unit.Kilogram,
		Load:     8 * unit.Kilogram,
		// Common practice, no source: more than a litre an hour for hours is a route too
		// long for the day.
		LongDrinking: 1.0 * unit.LitrePerHour,
		Ladder:       heat.DefaultLadder(),
		// Trade practice: 5 F at the decision 18 hours before, where the forecast is not
		// corrected for the site.
		ForecastError: unit.Fahrenheit(5) - unit.Fahrenheit(0),
	}
}
