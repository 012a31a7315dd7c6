package plan

import (
	"errors"
	"fmt"
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
