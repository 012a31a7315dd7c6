package supply

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// SuggestedMost is the most that is suggested in place of a typed rate: the top of NIOSH
// 2017-126, 32 oz an hour, printed as 0.95 L/h.
const SuggestedMost unit.Flow = 0.95

// DrinkingAdvice is the answer to a rate that a leader typed.
type DrinkingAdvice struct {
	Refused  bool
	Reason   string      // why it is refused, else empty
	Suggest  unit.Flow   // the rate to plan for
	Carry    unit.Volume // water for the suggested rate, in half litres
	Cautions []string    // whole sentences for people
}

// Texts of the advice.
const (
	overDrinking = "Drinking too much plain water is dangerous: it lowers the salt of the blood. Do not drink past thirst."
	eatSalty     = "Eat something salty with every drink."
	tooLittle    = "This is less than any published rate for a long walk."
	tooLong      = "A plan that needs more than 1 L an hour throughout is a route too long for the heat."
)

// CheckDrinking judges a typed drinking rate for a time on the trail. It refuses rates
// above the hourly ceiling and totals above the daily one, and always suggests a rate that
// passes. A rate or time that cannot be meant is an error.
func CheckDrinking(typed unit.Flow, forTime time.Duration) (DrinkingAdvice, error) {
	switch {
	case !(typed > 0 && typed <= mostRate):
		return DrinkingAdvice{}, fmt.Errorf("drinking rate %g L/h is not above 0 and up to %g", float64(typed), float64(mostRate))
	case forTime <= 0 || forTime > 24*time.Hour:
		return DrinkingAdvice{}, fmt.Errorf("time %s is not above 0 and up to a day", forTime)
	}
	a := DrinkingAdvice{Suggest: suggest(typed, forTime)}
	a.Carry = Carry(a.Suggest, forTime)
	a.Reason = refusal(typed, forTime)
	a.Refused = a.Reason != ""
	a.Cautions = append(a.Cautions, eatSalty)
	if typed > CautionDrinking {
		a.Cautions = append(a.Cautions, overDrinking, tooLong)
	}
	if typed < leastPublished {
		a.Cautions = append(a.Cautions, tooLittle)
	}
	return a, nil
}

// leastPublished is the low end of ACSM 2007, 0.4 L/h: the lowest of the second opinions.
const leastPublished unit.Flow = 0.4

// suggest keeps a rate that needs no question, and brings others down to a published one.
func suggest(typed unit.Flow, forTime time.Duration) unit.Flow {
	rate := typed
	if typed > CautionDrinking {
		rate = SuggestedMost
	}
	return min(rate, unit.Flow(MaxDay.Litres()/forTime.Hours()))
}

func refusal(typed unit.Flow, forTime time.Duration) string {
	total := unit.Volume(typed.LitresPerHour() * forTime.Hours())
	switch {
	case typed > MaxDrinking:
		return fmt.Sprintf("%.2f L an hour is above the ceiling of %.2f L an hour", float64(typed), float64(MaxDrinking))
	case total > MaxDay:
		return fmt.Sprintf("%.1f L in all is above the ceiling of %.1f L a day", float64(total), float64(MaxDay))
	}
	return ""
}

// stopEvery is how often a party drinks and eats. Common practice, no source: every half
// hour, often enough that nobody waits for thirst.
const stopEvery = 30 * time.Minute

// Clock returns the times to drink and eat: every half hour after the start, before the end.
func Clock(start time.Time, duration time.Duration) ([]time.Time, error) {
	if duration < 0 || duration > longestTrip {
		return nil, fmt.Errorf("duration %s is not between 0 and %s", duration, longestTrip)
	}
	var times []time.Time
	for after := stopEvery; after < duration; after += stopEvery {
		times = append(times, start.Add(after))
	}
	return times, nil
}

// PerStop returns what to drink at each time of Clock.
func PerStop(rate unit.Flow) unit.Volume {
	return unit.Volume(between(rate, 0, MaxDrinking).LitresPerHour() * stopEvery.Hours())
}

// Stop is one time to drink and eat.
type Stop struct {
	At    time.Time
	Drink unit.Volume
	Eat   unit.Energy
}

// Stops returns the times of Clock with what to drink and eat at each.
func Stops(start time.Time, duration time.Duration, rate unit.Flow, food unit.EnergyRate) ([]Stop, error) {
	times, err := Clock(start, duration)
	if err != nil {
		return nil, err
	}
	eat := unit.Energy(between(food, 0, mostFood).KilocaloriesPerHour() * stopEvery.Hours())
	var stops []Stop
	for _, at := range times {
		stops = append(stops, Stop{At: at, Drink: PerStop(rate), Eat: eat})
	}
	return stops, nil
}
