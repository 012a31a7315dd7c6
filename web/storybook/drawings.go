package storybook

import (
	"math"
	"time"

	"github.com/a-h/templ"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

// DrawingStates lists the drawings. The walks and the day are invented.
func DrawingStates() []StatePage {
	wash, ridge, broken := washWalk(), ridgeWalk(), brokenWalk()
	short := track.Profile{Shape: track.OneWay, Length: 90, Samples: wash.Samples[:8], HasElevation: false}
	return []StatePage{
		{"drawing-wash", "Drawings of a walk out and back", DrawnWalk(wash, washPoints(), format.Metric)},
		{"drawing-ridge", "Drawings of a loop, in miles", DrawnWalk(ridge, ridgePoints(ridge), format.US)},
		{"drawing-broken", "Drawings of a walk with gaps", DrawnWalk(broken, nil, format.Metric)},
		{"drawing-short", "Drawings of a few steps without heights", DrawnWalk(short, washPoints()[:1], format.Metric)},
		{"drawing-day", "Drawing of a hot day",
			drawnAlone(chart.DrawnDay(chart.NewDayDrawing(hotDay(), hotClocks(), sampleZone(), format.Metric)))},
		{"drawing-day-us", "Drawing of a hot day, in Fahrenheit",
			drawnAlone(chart.DrawnDay(chart.NewDayDrawing(hotDay(), hotClocks(), sampleZone(), format.US)))},
		{"drawing-day-none", "Drawing of a day without a forecast",
			drawnAlone(chart.DrawnDay(chart.NewDayDrawing(plan.Plan{}, party.Clocks{}, sampleZone(), format.Metric)))},
	}
}

// DrawnWalk is a page with the map and the profile of a walk.
func DrawnWalk(p track.Profile, points []chart.DrawnPoint, sys format.System) templ.Component {
	return drawnPage(chart.Map(chart.NewMapDrawing(p, points, sys)),
		chart.Profile(chart.NewProfileDrawing(p, points, sys)))
}

func drawnAlone(c templ.Component) templ.Component { return drawnPage(c, nil) }

// inventedWalk samples an invented walk, in meters east, north and up of an invented place.
func inventedWalk(shape track.Shape, steps int, way func(f float64) (east, north, up float64)) track.Profile {
	const perDegree = 111_000.0
	p := track.Profile{Shape: shape, HasElevation: true, Lowest: unit.Length(math.Inf(1)),
		Highest: unit.Length(math.Inf(-1))}
	for i := range steps + 1 {
		east, north, up := way(float64(i) / float64(steps))
		s := track.Sample{At: unit.At(33.45+north/perDegree, -112.07+east/perDegree/math.Cos(33.45*math.Pi/180)),
			Elevation: unit.Length(up)}
		if i > 0 {
			before := p.Samples[i-1]
			s.Along = before.Along + before.At.DistanceTo(s.At)
			if rise := s.Elevation - before.Elevation; rise > 0 {
				p.Ascent += rise
			} else {
				p.Descent -= rise
			}
		}
		p.Lowest, p.Highest = min(p.Lowest, s.Elevation), max(p.Highest, s.Elevation)
		p.Samples = append(p.Samples, s)
	}
	p.Length = p.Far()
	if shape == track.OutAndBack {
		p.Length *= 2
		p.Ascent, p.Descent = p.Ascent+p.Descent, p.Ascent+p.Descent
	}
	markSteepest(&p)
	return p
}

func markSteepest(p *track.Profile) {
	const stretch = 100 * unit.Metre
	for from := unit.Length(0); from+stretch <= p.Far(); from += 10 {
		rise := p.SampleAt(from+stretch).Elevation - p.SampleAt(from).Elevation
		if s := unit.Slope(rise / stretch); math.Abs(float64(s)) > math.Abs(float64(p.Steepest)) {
			p.Steepest, p.SteepestFrom, p.SteepestTo = s, from, from+stretch
		}
	}
}

func washWalk() track.Profile {
	return inventedWalk(track.OutAndBack, 300, func(f float64) (east, north, up float64) {
		bend := math.Sin(9*f) + 0.35*math.Sin(31*f+1)
		return 3100*f + 90*math.Cos(23*f), 1300*f*f + 190*bend, 612 + 205*f*f*f + 14*math.Sin(17*f)
	})
}

func washPoints() []chart.DrawnPoint {
	return []chart.DrawnPoint{
		{Kind: "trailhead", Name: "Quail Wash trailhead", Along: 0}, {Kind: "junction", Name: "Tank fork", Along: 1240},
		{Kind: "shade", Name: "Overhang, shade until 10", Along: 1300},
		{Kind: "bail-out", Name: "Two-track to Ridge Road", Along: 2450},
		{Kind: "regroup", Name: "Foot of the steps", Along: 3500}, {Kind: "goal", Name: "Saddle", Along: 3900},
	}
}

func ridgeWalk() track.Profile {
	return inventedWalk(track.Loop, 400, func(f float64) (east, north, up float64) {
		sin, cos := math.Sincos(2 * math.Pi * f)
		r := 1500 + 260*math.Sin(6*math.Pi*f) + 90*math.Cos(22*math.Pi*f)
		return r * (1 - cos), 1.15 * r * sin, 790 + 130*(1-cos) + 40*math.Sin(6*math.Pi*f)*(1-cos)
	})
}

// ridgePoints has six points at one place, like a busy junction.
func ridgePoints(p track.Profile) []chart.DrawnPoint {
	points := []chart.DrawnPoint{{Kind: "trailhead", Name: "Lantern Ridge gate", Along: 0},
		{Kind: "goal", Name: "North knob", Along: p.Length / 2},
		{Kind: "bail-out", Name: "Burro track", Along: p.Length - 900}}
	for _, name := range []string{"Old corral", "Corral spring, dry", "Corral oak", "Corral gate",
		"Fork behind the gate", "Bench"} {
		points = append(points, chart.DrawnPoint{Kind: "junction", Name: name, Along: p.Length / 5})
	}
	return points
}

func brokenWalk() track.Profile {
	p := washWalk()
	p.Shape, p.Length = track.OneWay, p.Far()
	kept := append([]track.Sample(nil), p.Samples[:90]...)
	for _, s := range p.Samples[120:] {
		s.Along -= p.Samples[120].Along - p.Samples[89].Along
		kept = append(kept, s)
	}
	kept[90].Gap = true
	p.Samples, p.Length = kept, kept[len(kept)-1].Along
	p.Steepest, p.SteepestFrom, p.SteepestTo = 0, 0, 0
	return p
}

// hotClocks are the times of a party on hotDay.
func hotClocks() party.Clocks {
	return party.Clocks{
		Start: sampleClock(6, 30), Expected: sampleClock(10, 15), Latest: sampleClock(11, 21),
		Watch: sampleClock(11, 21), Call: sampleClock(12, 21),
		Turn:        sampleClock(8, 50),
		TurnBecause: "heat: the open trail passes its limit at 10:51, less 2 h 01 for the way back",
	}
}

// hotDay is a day in May whose heat passes the limit before noon.
func hotDay() plan.Plan {
	at := func(h, m int) plan.Instant { return plan.Instant{Time: sampleClock(h, m)} }
	p := plan.Plan{
		Time: plan.Time{P50: 225 * 60, P90: 291 * 60},
		Sun:  plan.Sun{CivilDawn: at(5, 4), Sunrise: at(5, 31), Sunset: at(19, 20), CivilDusk: at(19, 47)},
		Heat: plan.Heat{Limit: 27.5, AlertLimit: 27.5, ExposureLimit: 29.9},
	}
	for t := sampleClock(5, 0); !t.After(sampleClock(20, 0)); t = t.Add(time.Hour) {
		sun := math.Max(0, math.Sin((float64(t.Hour())-5.5)/13.8*math.Pi))
		day := math.Sin((float64(t.Hour()) - 9.5) / 24 * 2 * math.Pi)
		air := 26 + 9*day
		p.Heat.Hours = append(p.Heat.Hours,
			plan.Hour{At: plan.Instant{Time: t}, Air: unit.Celsius(air), WBGT: unit.Celsius(17.76 + 5.2*day + 8.5*sun)})
	}
	return p
}
