package plan

import (
	"sort"
	"time"

	"saltbush/internal/unit"
)

// HourlyAir is one line of an hourly forecast for the trailhead.
type HourlyAir struct {
	At       time.Time        `json:"at"`
	Air      unit.Temperature `json:"air_c"`
	DewPoint unit.Temperature `json:"dew_point_c"`
	// Wind is at 10 m.
	Wind  unit.Speed    `json:"wind_m_s"`
	Cloud unit.Fraction `json:"cloud"`
}

// weather returns the trailhead's air: the hourly forecast between its first and its last
// line, along straight lines, and the day's curve elsewhere.
func (d day) weather(t time.Time) HourlyAir {
	lines := d.forecast.Hourly
	if n := len(lines); n > 0 && !t.Before(lines[0].At) && !t.After(lines[n-1].At) {
		return hourlyAt(lines, t)
	}
	f := d.forecast
	return HourlyAir{At: t, Air: d.curve.At(t), DewPoint: f.DewPoint, Wind: f.Wind, Cloud: f.Cloud}
}

// hourlyAt reads the lines at a time that they cover.
func hourlyAt(lines []HourlyAir, t time.Time) HourlyAir {
	i := sort.Search(len(lines), func(i int) bool { return !lines[i].At.Before(t) })
	b := lines[i]
	if i == 0 || b.At.Equal(t) {
		return b
	}
	a := lines[i-1]
	share := float64(t.Sub(a.At)) / float64(b.At.Sub(a.At))
	return HourlyAir{
		At:       t,
		Air:      toward(a.Air, b.Air, share),
		DewPoint: toward(a.DewPoint, b.DewPoint, share),
		Wind:     toward(a.Wind, b.Wind, share),
		Cloud:    toward(a.Cloud, b.Cloud, share),
	}
}

func toward[T ~float64](a, b T, share float64) T { return a + (b-a)*T(share) }

// House judgement: two days of lines cover any day hike; more is another day's forecast.
const mostHourly = 49

// hourlyFaults returns every fault of the hourly lines. Each line is named by its clock.
func (f Forecast) hourlyFaults() []error {
	var faults []error
	if len(f.Hourly) > mostHourly {
		faults = append(faults, bad("hourly", "has %d lines; up to %d are taken", len(f.Hourly), mostHourly))
	}
	if len(f.Hourly) == 1 {
		faults = append(faults, bad("hourly", "has one line only; give every hour of the walk, or none"))
	}
	for i, h := range f.Hourly {
		name := "hourly " + clock(h.At)
		faults = append(faults, h.faults(name+" ", h.Air, "air")...)
		if i > 0 {
			faults = append(faults, gapFaults(name, f.Hourly[i-1].At, h.At)...)
		}
	}
	return faults
}

// gapFaults wants each line an hour or less after the one before it: between two lines the
// air is drawn straight, and the day's hottest hour must not lie in a gap.
func gapFaults(name string, before, at time.Time) []error {
	switch step := at.Sub(before); {
	case step <= 0:
		return []error{bad(name, "does not come after %s", clock(before))}
	case step > time.Hour:
		return []error{bad("hourly", "%s is missing: nothing is given between %s and %s",
			clock(before.Add(time.Hour)), clock(before), clock(at))}
	}
	return nil
}
