package sample

import (
	"math"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// normal is the average day of a month at the reserve, in C, m/s and share of the sky.
type normal struct{ low, high, dewPoint, wind, cloud float64 }

// normals returns the average days of the months from January on. They are invented, and
// typical of low desert with summer storms.
func normals() [12]normal {
	return [12]normal{
		{5, 19, -2, 2.0, 0.35}, {7, 22, -2, 2.2, 0.35}, {10, 26, -1, 2.6, 0.30}, {14, 31, -2, 3.0, 0.20},
		{19, 36, 0, 3.0, 0.15}, {24, 41, 3, 2.8, 0.10}, {27, 41, 15, 3.0, 0.35}, {27, 40, 16, 2.8, 0.35},
		{23, 38, 11, 2.5, 0.20}, {16, 32, 5, 2.2, 0.15}, {9, 25, 1, 2.0, 0.25}, {5, 19, -1, 1.9, 0.35},
	}
}

// monthly returns the normals in the form that a coordinator enters.
func monthly() plan.Normals {
	months := plan.Normals{}
	for i, n := range normals() {
		months[time.January+time.Month(i)] = plan.Normal{Low: unit.Celsius(n.low), High: unit.Celsius(n.high),
			DewPoint: unit.Celsius(n.dewPoint),
			Wind:     unit.Speed(n.wind) * unit.MetrePerSecond, Cloud: unit.Fraction(n.cloud)}
	}
	return months
}

// averageDay interpolates between the middles of two months.
func averageDay(day time.Time) normal {
	at := float64(day.YearDay())/365.25*12 - 0.5
	before := math.Floor(at)
	a, b := normals()[(int(before)+12)%12], normals()[(int(before)+13)%12]
	mix := func(a, b float64) float64 { return a + (b-a)*(at-before) }
	return normal{mix(a.low, b.low), mix(a.high, b.high), mix(a.dewPoint, b.dewPoint), mix(a.wind, b.wind),
		mix(a.cloud, b.cloud)}
}

// forecast draws a forecast that is warmer than the average day by so many degrees C, in whole
// and half degrees as leaders type it.
func (d *dice) forecast(day time.Time, warmer float64) plan.Forecast {
	n := averageDay(day)
	off := warmer + 1.6*d.NormFloat64()
	f := plan.Forecast{
		Low:      unit.Celsius(half(n.low + 0.7*off)),
		High:     unit.Celsius(half(n.high + off)),
		DewPoint: unit.Celsius(half(n.dewPoint + 2*d.NormFloat64())),
		Wind:     unit.Speed(half(n.wind*d.around(0.25))) * unit.MetrePerSecond,
		Cloud:    unit.Fraction(math.Round(10*max(0, min(0.9, n.cloud+0.15*d.NormFloat64()))) / 10),
	}
	return dry(f)
}

// dry limits the dew point to one degree below the low, as on most days in a dry country.
func dry(f plan.Forecast) plan.Forecast {
	f.DewPoint = min(f.DewPoint, f.Low-1)
	return f
}

func half(v float64) float64 { return math.Round(2*v)/2 + 0 } // no negative zero

// mild cools a hot forecast to a cloudy day on which a hike can be out at any hour.
// Our judgment: at 32 C in the shade the house ladder still allows more than short routes.
func mild(f plan.Forecast) plan.Forecast {
	if f.High > 32 {
		f.High, f.Low, f.Cloud, f.DewPoint = 32, min(f.Low, 22), 0.7, min(f.DewPoint, 12)
	}
	return dry(f)
}

// hot raises a forecast to a day on which no long hike should go out.
// Our judgment: six degrees above the forecast is a heat wave. From 36 C on, the house ladder
// asks for a change even for a start before dawn. Such country rarely gets above 47 C.
func hot(f plan.Forecast) plan.Forecast {
	f.High, f.Low, f.Cloud = min(max(f.High+6, 36), 47), min(max(f.Low+5, 17), 31), 0.1
	return dry(f)
}

// firstLight returns when hikes start in a month, as time of day at the reserve. They start
// earlier in hot months.
func firstLight(month time.Month) time.Duration {
	switch month {
	case time.June, time.July, time.August:
		return 5*time.Hour + 15*time.Minute
	case time.May, time.September:
		return 6 * time.Hour
	case time.April, time.October:
		return 6*time.Hour + 45*time.Minute
	case time.March, time.November:
		return 7*time.Hour + 30*time.Minute
	}
	return 8*time.Hour + 15*time.Minute
}
