package supply

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

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
