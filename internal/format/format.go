package format

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/unit"
)

// System is a system of units.
type System string

// The two systems.
const (
	Metric System = "metric"
	US     System = "us"
)

// Name returns the system's name as people read it.
func (s System) Name() string {
	if s == US {
		return "US customary"
	}
	return "metric"
}

// Unknown is written where there is no figure. A blank could be taken for none.
const Unknown = "not known"

// Amount writes a number with its unit, or Unknown if it is NaN or infinite. What rounds to
// zero has no sign.
func Amount(v float64, decimals int, suffix string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Unknown
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if zero := strconv.FormatFloat(0, 'f', decimals, 64); text == "-"+zero {
		text = zero
	}
	return text + " " + suffix
}

// Both writes a figure in metric units and then in US units: "7.7 km (4.8 mi)".
func Both[T any](write func(T, System) string, v T) string {
	return write(v, Metric) + " (" + write(v, US) + ")"
}

// Length writes a distance on the ground: "7.7 km" or "4.8 mi".
func Length(l unit.Length, sys System) string {
	if sys == US {
		return Amount(l.Miles(), 1, "mi")
	}
	return Amount(l.Kilometres(), 1, "km")
}

// ShortLength writes a distance of a few steps up to a few hundred: "340 m" or "1120 ft".
func ShortLength(l unit.Length, sys System) string {
	if sys == US {
		return Amount(l.Feet(), 0, "ft")
	}
	return Amount(l.Metres(), 0, "m")
}

// Height writes an ascent, a descent or an elevation: "240 m" or "790 ft". From a hundred
// feet on it rounds to ten: the heights of a track are not known to the foot.
func Height(l unit.Length, sys System) string {
	if sys != US {
		return Amount(l.Metres(), 0, "m")
	}
	feet := l.Feet()
	if math.Abs(feet) >= 100 {
		feet = math.Round(feet/10) * 10
	}
	return Amount(feet, 0, "ft")
}

// Temperature writes "33 \u00b0C" or "91 \u00b0F".
func Temperature(t unit.Temperature, sys System) string {
	if sys == US {
		return Amount(t.Fahrenheit(), 0, "\u00b0F")
	}
	return Amount(t.Celsius(), 0, "\u00b0C")
}

// Degrees writes a temperature to a tenth without its unit, for tables with the unit in
// their header.
func Degrees(t unit.Temperature, sys System) string {
	if sys == US {
		return strings.TrimSpace(Amount(t.Fahrenheit(), 1, ""))
	}
	return strings.TrimSpace(Amount(t.Celsius(), 1, ""))
}

// TemperatureUnit names the unit of Degrees.
func TemperatureUnit(sys System) string {
	if sys == US {
		return "\u00b0F"
	}
	return "\u00b0C"
}

// Volume writes "4.5 L" or "4.8 qt".
func Volume(v unit.Volume, sys System) string {
	if sys == US {
		return Amount(v.USQuarts(), 1, "qt")
	}
	return Amount(v.Litres(), 1, "L")
}

// Flow writes a drinking rate: "0.95 L/h" or "1.00 qt/h".
func Flow(f unit.Flow, sys System) string {
	if sys == US {
		return Amount(f.USQuartsPerHour(), 2, "qt/h")
	}
	return Amount(f.LitresPerHour(), 2, "L/h")
}

// Speed writes a walking or wind speed: "3.2 km/h" or "2.0 mph".
func Speed(s unit.Speed, sys System) string {
	if sys == US {
		return Amount(s.MilesPerHour(), 1, "mph")
	}
	return Amount(s.KilometresPerHour(), 1, "km/h")
}

// Mass writes a load: "6.2 kg" or "13.7 lb".
func Mass(m unit.Mass, sys System) string {
	if sys == US {
		return Amount(m.Pounds(), 1, "lb")
	}
	return Amount(m.Kilograms(), 1, "kg")
}

// Energy writes food energy, rounded to ten: "600 kcal". Both systems use kilocalories.
func Energy(e unit.Energy) string {
	return Amount(math.Round(e.Kilocalories()/10)*10, 0, "kcal")
}

// Percent writes a share: "40 %".
func Percent(p unit.Percent) string { return Amount(float64(p), 0, "%") }

// Slope writes a grade: "28 %".
func Slope(s unit.Slope) string { return Percent(s.Percent()) }

// Position writes degrees to five decimals (about a metre), north and east positive:
// "33.45120, -112.07400". People read it aloud and type it.
func Position(p unit.Position) string {
	if !p.Valid() {
		return Unknown
	}
	return fmt.Sprintf("%.5f, %.5f", p.Lat.Degrees(), p.Lon.Degrees())
}

// DegreesMinutes writes a position as rescue radios and many maps take it, in degrees and minutes to
// a thousandth (about two metres): "N 33\u00b0 27.072' W 112\u00b0 04.440'".
func DegreesMinutes(p unit.Position) string {
	if !p.Valid() {
		return Unknown
	}
	return degreesMinutes(p.Lat, 2, "N", "S") + " " + degreesMinutes(p.Lon, 3, "E", "W")
}

func degreesMinutes(a unit.Angle, width int, plus, minus string) string {
	sign := plus
	if a < 0 {
		sign, a = minus, -a
	}
	thousandths := int(math.Round(a.Degrees() * 60000))
	return fmt.Sprintf("%s %0*d\u00b0 %06.3f'", sign, width, thousandths/60000, float64(thousandths%60000)/1000)
}

// Duration writes hours and minutes: "3 h 45", "3 h", "45 min". It rounds to the minute.
func Duration(d time.Duration) string {
	if d < 0 {
		return "minus " + Duration(-d)
	}
	minutes := int(d.Round(time.Minute) / time.Minute)
	hours, rest := minutes/60, minutes%60
	switch {
	case hours == 0:
		return fmt.Sprintf("%d min", rest)
	case rest == 0:
		return fmt.Sprintf("%d h", hours)
	}
	return fmt.Sprintf("%d h %02d", hours, rest)
}

// DurationRange writes a likely and a late time: "3 h 45 to 4 h 51", or one of them if both
// read the same.
func DurationRange(from, to time.Duration) string {
	a, b := Duration(from), Duration(to)
	if a == b {
		return a
	}
	return a + " to " + b
}

// Clock writes the wall clock of the trailhead: "06:30", or Unknown for the zero time. In the
// hour that is repeated when clocks go back it adds the zone: "01:30 MST".
func Clock(t time.Time, zone *time.Location) string { return wall(t, zone, clockLayout(t, zone)) }

func clockLayout(t time.Time, zone *time.Location) string {
	if zone != nil && repeated(t.In(zone)) {
		return "15:04 MST"
	}
	return "15:04"
}

// repeated reports whether the wall clock shows the time of t twice, because clocks go back.
func repeated(t time.Time) bool {
	if SecondPass(t) {
		return true
	}
	_, end := t.ZoneBounds()
	if end.IsZero() {
		return false
	}
	_, now := t.Zone()
	_, next := end.Zone()
	back := time.Duration(now-next) * time.Second
	return back > 0 && end.Sub(t) <= back
}

// SecondPass reports whether the wall clock of t showed the same time once before, because
// clocks went back in between.
func SecondPass(t time.Time) bool {
	start, _ := t.ZoneBounds()
	if start.IsZero() {
		return false
	}
	_, before := start.Add(-time.Second).Zone()
	_, now := t.Zone()
	return t.Sub(start) < time.Duration(before-now)*time.Second
}

// ClockSeconds writes the wall clock to the second: "06:30:05". It is for times that have just
// passed.
func ClockSeconds(t time.Time, zone *time.Location) string { return wall(t, zone, "15:04:05") }

// ClockRange writes "10:15 to 11:21", or one of them if both read the same.
func ClockRange(from, to time.Time, zone *time.Location) string {
	a, b := Clock(from, zone), Clock(to, zone)
	if a == b {
		return a
	}
	return a + " to " + b
}

// Day writes "Sunday 10 May 2026".
func Day(t time.Time, zone *time.Location) string { return wall(t, zone, "Monday 2 January 2006") }

// Weekday writes "Sun".
func Weekday(t time.Time, zone *time.Location) string { return wall(t, zone, "Mon") }

// ShortDay writes "Sun 10 May".
func ShortDay(t time.Time, zone *time.Location) string { return wall(t, zone, "Mon 2 Jan") }

// Date writes "10 May 2026".
func Date(t time.Time, zone *time.Location) string { return wall(t, zone, "2 January 2006") }

// Month writes "May 2026".
func Month(t time.Time, zone *time.Location) string { return wall(t, zone, "January 2006") }

// Moment writes "Sun 10 May, 06:30".
func Moment(t time.Time, zone *time.Location) string {
	return wall(t, zone, "Mon 2 Jan, "+clockLayout(t, zone))
}

// ClockAfter is Clock if t is on the same day as the other instant, and Moment if not.
func ClockAfter(t, other time.Time, zone *time.Location) string {
	if Day(t, zone) == Day(other, zone) {
		return Clock(t, zone)
	}
	return Moment(t, zone)
}

// wall writes an instant by the wall clock of a zone. Without a zone it is Unknown: the
// server's own clock would be wrong.
func wall(t time.Time, zone *time.Location, layout string) string {
	if t.IsZero() || zone == nil {
		return Unknown
	}
	return t.In(zone).Format(layout)
}

// Count writes a number with its noun: "1 place", "12 places".
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
