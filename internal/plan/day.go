package plan

import (
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
}

func newDay(in Input) (day, error) {
	first := in.Profile.Samples[0]
	light, err := sun.DayOf(in.Start, first.At)
	if err != nil {
		return day{}, fmt.Errorf("sun on %s: %w", in.Start.Format(time.DateOnly), err)
	}
	return day{
		forecast:  in.Forecast,
		place:     first.At,
		trailhead: first.Elevation,
		light:     light,
		curve:     heat.NewCurve(in.Forecast.Low, in.Forecast.High, light.Rise, light.Set),
	}, nil
}

// air returns what a walker in the open meets at a time and height.
func (d day) air(t time.Time, height unit.Length) heat.Air {
	base := d.curve.At(t)
	at := heat.Lapse(base, d.trailhead, height)
	where := sun.At(t, d.place)
	solar, direct := heat.Sunshine(sun.Clouded(sun.ClearSky(where, height), d.forecast.Cloud), where.Zenith, t)
	up := where.Elevation > 0
	return heat.Air{
		Temperature: at,
		Humidity:    heat.Humidity(at, min(d.forecast.DewPoint, at)),
		Pressure:    heat.PressureAt(height),
		Wind:        heat.WindAt2m(d.forecast.Wind, solar, up),
		Solar:       solar,
		Direct:      direct,
		Zenith:      where.Zenith,
	}
}

// hours returns the open trail at the trailhead's height on every whole hour from the
// one before first light to the one after last light.
func (d day) hours() ([]Hour, error) {
	first := d.light.CivilDawn.Truncate(time.Minute)
	first = first.Add(-time.Duration(first.Minute()) * time.Minute)
	var hours []Hour
	for t := first; t.Before(d.light.CivilDusk.Add(time.Hour)); t = t.Add(time.Hour) {
		air := d.air(t, d.trailhead)
		globe, err := heat.WBGT(air)
		if err != nil {
			return nil, fmt.Errorf("heat at %s: %w", t.Format("15:04"), err)
		}
		hours = append(hours, Hour{
			At:        instant(t),
			Air:       tenth(air.Temperature),
			Humidity:  whole(air.Humidity.Percent()),
			Solar:     whole(air.Solar),
			WBGT:      tenth(globe.WBGT),
			HeatIndex: tenth(heat.HeatIndex(air.Temperature, air.Humidity)),
		})
	}
	return hours, nil
}
