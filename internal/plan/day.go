package plan

import (
	"errors"
	"fmt"
	"sort"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/sun"
	"saltbush/internal/unit"
)

// day is the weather and the light of one civil day on the trail.
type day struct {
	forecast  Forecast
	place     unit.Position
	trailhead unit.Length // height that the forecast is read for
	light     sun.Day
	curve     heat.Curve
	first     time.Time // civil dawn, or midnight where there is none
	last      time.Time // civil dusk, or the next midnight
}

// newDay accepts a day without sunrise or sunset: the missing times are zero, and the air counts as hot as the high at
// every hour.
func newDay(in Input) (day, error) {
	first := in.Profile.Samples[0]
	light, err := sun.DayOf(in.Start, first.At)
	if err != nil && !errors.Is(err, sun.ErrNeverRises) && !errors.Is(err, sun.ErrNeverSets) {
		return day{}, bad("trail", "sun on %s: %v", in.Start.Format(time.DateOnly), err)
	}
	d := day{
		forecast:  in.Forecast,
		place:     first.At,
		trailhead: first.Elevation,
		light:     light,
		curve:     heat.NewCurve(in.Forecast.Low, in.Forecast.High, light.Rise, light.Set),
		first:     light.CivilDawn, last: light.CivilDusk,
	}
	year, month, date := in.Start.Date()
	if d.first.IsZero() {
		d.first = time.Date(year, month, date, 0, 0, 0, 0, in.Start.Location())
	}
	if d.last.IsZero() {
		d.last = time.Date(year, month, date+1, 0, 0, 0, 0, in.Start.Location())
	}
	return d, nil
}

// Our judgment: the range of the heat model covers all air that people walk in. A height far from the trailhead's must
// not take the forecast out of it.
const coldestAir, hottestAir unit.Temperature = -40, 60

// shade returns the temperature and humidity of the air at a height.
func (d day) shade(w HourlyAir, height unit.Length) (unit.Temperature, unit.Fraction) {
	at := max(coldestAir, min(hottestAir, heat.Lapse(w.Air, d.trailhead, height)))
	return at, heat.Humidity(at, min(w.DewPoint, at))
}

// air returns the air and sun in the open at a time and height.
func (d day) air(t time.Time, height unit.Length) heat.Air {
	w := d.weather(t)
	at, humidity := d.shade(w, height)
	where := sun.At(t, d.place)
	solar, direct := heat.Sunshine(sun.Clouded(sun.ClearSky(where, height), w.Cloud), where.Zenith, t)
	return heat.Air{
		Temperature: at,
		Humidity:    humidity,
		Pressure:    heat.PressureAt(height),
		Wind:        heat.WindAt2m(w.Wind, solar, where.Elevation > 0),
		Solar:       solar,
		Direct:      direct,
		Zenith:      where.Zenith,
	}
}

// exact computes the wet-bulb globe temperature without the table.
func (d day) exact(t time.Time, height unit.Length) (unit.Temperature, error) {
	globe, err := heat.WBGT(d.air(t, height))
	if err != nil {
		return 0, fmt.Errorf("heat at %s: %w", clock(t), err)
	}
	return globe.WBGT, nil
}

// hours returns the open trail at the trailhead's height on every whole hour, from the one before first light to the
// one after last light.
func (d day) hours(tb table) []Hour {
	hours := []Hour{}
	for t := wholeHour(d.first); t.Before(d.last.Add(time.Hour)); t = t.Add(time.Hour) {
		air := d.air(t, d.trailhead)
		hours = append(hours, Hour{
			At:        instant(t),
			Air:       tenth(air.Temperature),
			Humidity:  whole(air.Humidity.Percent()),
			Solar:     whole(air.Solar),
			WBGT:      tenth(tb.at(tb.seconds(t), tb.spot(d.trailhead)).wbgt),
			HeatIndex: tenth(heat.HeatIndex(air.Temperature, air.Humidity)),
		})
	}
	return hours
}

func hourFigures() []figure {
	return []figure{
		{"at", "whole hours from before first light to after last light", "{start}", sun.Source},
		{"air_c", "sine by day, decay by night, or the hourly lines", "{weather}", heat.CurveSource},
		{"humidity_percent", "saturation pressure at the dew point / at the air temperature", "{weather}",
			heat.HumiditySource},
		{"solar_w_m2", sun.SkyFormula, "{weather}", sun.SkySource},
		{"wbgt_c", heat.WBGTFormula, "{weather}", tableSource},
		{"heat_index_c", "regression of Rothfusz with its adjustments", "{weather}", heat.HeatIndexSource},
	}
}

func (e results) sun() Sun {
	l := e.route.day.light
	return Sun{CivilDawn: instant(l.CivilDawn), Sunrise: instant(l.Rise), Sunset: instant(l.Set),
		CivilDusk: instant(l.CivilDusk)}
}

func sunFigures() []figure {
	return []figure{
		{"civil_dawn", "the Sun's centre 6 degrees below the horizon, rising", "{start}", sun.Source},
		{"sunrise", "upper limb on a level horizon", "{start}", sun.Source},
		{"sunset", "upper limb on a level horizon", "{start}", sun.Source},
		{"civil_dusk", "the Sun's centre 6 degrees below the horizon, setting", "{start}", sun.Source},
	}
}

// wholeHour returns the whole hour of the wall clock at or before a time.
func wholeHour(t time.Time) time.Time {
	t = t.Truncate(time.Minute)
	return t.Add(-time.Duration(t.Minute()) * time.Minute)
}

// HourlyAir is one line of an hourly forecast for the trailhead.
type HourlyAir struct {
	At       time.Time        `json:"at"`
	Air      unit.Temperature `json:"air_c"`
	DewPoint unit.Temperature `json:"dew_point_c"`
	// Wind is at 10 m.
	Wind  unit.Speed    `json:"wind_m_s"`
	Cloud unit.Fraction `json:"cloud"`
}

// weather returns the air at the trailhead: the hourly forecast between its first and last line, interpolated, and the
// day's curve outside.
func (d day) weather(t time.Time) HourlyAir {
	lines := d.forecast.Hourly
	if n := len(lines); n > 0 && !t.Before(lines[0].At) && !t.After(lines[n-1].At) {
		return hourlyAt(lines, t)
	}
	f := d.forecast
	return HourlyAir{At: t, Air: d.curve.At(t), DewPoint: f.DewPoint, Wind: f.Wind, Cloud: f.Cloud}
}

// hourlyAt interpolates the lines at a time that they cover.
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

// Our judgment: two days of lines cover any day hike; more is another day's forecast.
const mostHourly = 49

// hourlyFaults returns every fault of the hourly lines. A line is named by its clock time.
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

// gapFaults requires each line to follow the one before it by an hour or less: the air is interpolated, and a gap could
// hide the hottest hour of the day.
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
