package storybook_test

import (
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

func anyWalk(t *rapid.T) track.Profile {
	at := []unit.Position{unit.At(rapid.Float64Range(-85, 85).Draw(t, "lat"),
		rapid.Float64Range(-180, 180).Draw(t, "lon"))}
	var gaps []int
	step := rapid.Float64Range(1e-6, 0.005).Draw(t, "step")
	for i := range rapid.IntRange(1, 60).Draw(t, "steps") {
		last := at[len(at)-1]
		lon := last.Lon.Degrees() + step*rapid.Float64Range(-1, 1).Draw(t, "east")
		if lon > 180 {
			lon -= 360
		}
		if lon < -180 {
			lon += 360
		}
		at = append(at, unit.At(last.Lat.Degrees()+step*rapid.Float64Range(-1, 1).Draw(t, "north"), lon))
		if rapid.IntRange(0, 9).Draw(t, "gap") == 0 {
			gaps = append(gaps, i+1)
		}
	}
	p := walked(rapid.SampledFrom([]track.Shape{track.OneWay, track.OutAndBack, track.Loop}).Draw(t, "shape"), at,
		gaps...)
	for i := range p.Samples {
		p.Samples[i].Elevation = unit.Length(rapid.Float64Range(-100, 4000).Draw(t, "height"))
		if i == 0 {
			p.Lowest, p.Highest = p.Samples[0].Elevation, p.Samples[0].Elevation
		}
		p.Lowest, p.Highest = min(p.Lowest, p.Samples[i].Elevation), max(p.Highest, p.Samples[i].Elevation)
	}
	return p
}

// For any walk, coordinates are numbers on the paper, and marks do not overlap.
func TestDrawingsStayOnThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyWalk(t)
		var points []chart.DrawnPoint
		for range rapid.IntRange(0, 8).Draw(t, "points") {
			points = append(points, chart.DrawnPoint{Name: "Tank",
				Along: unit.Length(rapid.Float64Range(-1, 1.1).Draw(t, "along")) * p.Length})
		}
		sys := rapid.SampledFrom([]format.System{format.Metric, format.US}).Draw(t, "system")
		m, f := chart.NewMapDrawing(p, points, sys), chart.NewProfileDrawing(p, points, sys)
		wantNumbers(t, chart.Map(m))
		wantNumbers(t, chart.Profile(f))
		wantApart(t, m)
		if len(m.Marks) != len(points) {
			t.Fatalf("%d marks for %d points", len(m.Marks), len(points))
		}
		wantInside(t, m.ViewBox, append(m.Lines, m.Gaps...))
		wantInside(t, f.ViewBox, append(f.Lines, f.Gaps...))
	})
}

func wantInside(t *rapid.T, viewBox string, lines []string) {
	box := strings.Fields(viewBox)
	for _, line := range lines {
		for _, pair := range strings.Fields(line) {
			xs, ys, _ := strings.Cut(pair, ",")
			if !within(xs, box[2]) || !within(ys, box[3]) {
				t.Fatalf("%s is outside %s", pair, viewBox)
			}
		}
	}
}

func within(v, most string) bool {
	x, errX := strconv.ParseFloat(v, 64)
	limit, errLimit := strconv.ParseFloat(most, 64)
	return errX == nil && errLimit == nil && x >= 0 && x <= limit
}
