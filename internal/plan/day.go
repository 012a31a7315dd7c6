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

// day is the weather and light of the hike's civil day on its trail.
type day struct {
	forecast  Forecast
	place     unit.Position
	trailhead unit.Length // height that the forecast is read for
	light     sun.Day
	curve     heat.Curve
	first     time.Time // first usable light, or midnight where there is no dawn
	last      time.Time // last usable light, or the next midnight
}

// newDay takes a day without sunrise or sunset as it is: its missing times are zero, and
// the air counts as hot as the day's highest at every hour.
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

// House judgement: no air that people walk in lies outside of what the heat model takes,
// and a height far from the trailhead's must not carry the forecast out of it.
const coldestAir, hottestAir unit.Temperature = -40, 60

// shade is the air's temperature and humidity at a time and height.
func (d day) shade(w HourlyAir, height unit.Length) (unit.Temperature, unit.Fraction) {
	at := max(coldestAir, min(hottestAir, heat.Lapse(w.Air, d.trailhead, height)))
	return at, heat.Humidity(at, min(w.DewPoint, at))
}

// air returns what a walker in the open meets at a time and height.
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

// exact returns the wet-bulb globe temperature without the table.
func (d day) exact(t time.Time, height unit.Length) (unit.Temperature, error) {
	globe, err := heat.WBGT(d.air(t, height))
	if err != nil {
		return 0, fmt.Errorf("heat at %s: %w", clock(t), err)
	}
	return globe.WBGT, nil
}

// hours returns the open trail at the trailhead's height on every whole hour from the
// one before first light to the one after last light.
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

// wholeHour goes back to the whole hour of the wall clock.
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
