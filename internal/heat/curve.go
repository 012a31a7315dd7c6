package heat

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

// Parton and Logan 1981 (Agricultural Meteorology 23:205-216), air at 1.5 m, Denver: hours from noon to the high,
// decay at night, hours from sunrise to the low (it comes before). Mean error 1.2 to 2.6 K over their sites.
const (
	lagOfHigh  = 1.86
	nightDecay = 2.20
	lagOfLow   = -0.17
)

// Our judgment: hours before the low over which the night curve is brought down to it. By then the published night
// has covered only 1 - exp(-2.2) = 89 % of its fall, and the printed curve drops by the rest, 1 to 2 K, at once. One
// hour leaves the printed curve unchanged wherever measurements support it.
const settling = 1.0

// CurveSource is where the course of the air temperature, by time and by height, comes from, as a plan explains it.
const CurveSource = "Parton and Logan 1981 (Agric Meteorol 23:205-216); ICAO lapse up, dry adiabatic down"

// Curve is the air temperature over a day with a known low and high: a sine by day, a decay by night (Parton and
// Logan 1981). It stays between the two and does not jump. A zero Curve is always 0 C.
type Curve struct {
	low, swing unit.Temperature
	start      time.Time // of the day's part: sunrise and the lag of the low
	daylight   float64   // hours, sunrise to sunset
}

// NewCurve makes the curve of a day from its low, its high, sunrise and sunset. Without a sunrise and a later sunset
// (a polar day, zero times), or with 24 hours or more between them, the curve is the high at every hour: where the
// course is unknown, nobody may count on a cool morning.
func NewCurve(low, high unit.Temperature, rise, set time.Time) Curve {
	if high < low {
		low, high = high, low
	}
	daylight := set.Sub(rise).Hours()
	if rise.IsZero() || set.IsZero() || daylight <= 0 || daylight >= 24 {
		return Curve{low: high}
	}
	return Curve{low: low, swing: high - low, start: rise.Add(hours(lagOfLow)), daylight: daylight}
}

// At returns the air temperature at t. The curve repeats every 24 hours, so before sunrise it is the end of the night
// before.
func (c Curve) At(t time.Time) unit.Temperature {
	if c.swing == 0 {
		return c.low
	}
	since := math.Mod(t.Sub(c.start).Hours(), 24)
	if since < 0 {
		since += 24
	}
	if day := c.daylight - lagOfLow; since > day {
		return c.low + c.swing*unit.Temperature(c.night(since-day))
	}
	return c.low + c.swing*unit.Temperature(c.day(since))
}

// day returns the share of the swing reached a number of hours after the low.
func (c Curve) day(since float64) float64 {
	return math.Sin(math.Pi * since / (c.daylight + 2*lagOfHigh))
}

// night returns the share of the swing left a number of hours after sunset.
func (c Curve) night(since float64) float64 {
	length := 24 - c.daylight
	share := c.day(c.daylight-lagOfLow) * math.Exp(-nightDecay*since/length)
	left := length + lagOfLow - since // until the low
	return share * min(1, left/settling)
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
