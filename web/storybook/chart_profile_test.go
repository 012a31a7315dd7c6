package storybook_test

import (
	"math"
	"strings"
	"testing"

	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

// hill rises evenly by 200 m over some 2 km and falls by 50 m over 1 km.
func hill(shape track.Shape) track.Profile {
	var at []unit.Position
	for i := range 31 {
		at = append(at, unit.At(33+float64(i)*0.0009, -112))
	}
	p := walked(shape, at)
	for i := range p.Samples {
		p.Samples[i].Elevation = unit.Length(700 + 10*float64(min(i, 20)) - 5*math.Max(0, float64(i-20)))
	}
	p.Lowest, p.Highest, p.Steepest, p.SteepestFrom, p.SteepestTo = 700, 900, 0.1, 400, 500
	return p
}

func TestProfileMirrorsTheWayBack(t *testing.T) {
	doc := draw(t, chart.Profile(chart.NewProfileDrawing(hill(track.OutAndBack), nil, format.Metric)))
	line := drawnLines(t, doc, "polyline.ProfileDrawing-line")[0]
	for i, a := range line {
		b := line[len(line)-1-i]
		if math.Abs(a[0]+b[0]-1000) > 0.11 || a[1] != b[1] {
			t.Errorf("point %d is %v, its mirror %v", i, a, b)
		}
	}
	wantCount(t, doc, ".ProfileDrawing-turn", 1)
	oneWay := draw(t, chart.Profile(chart.NewProfileDrawing(hill(track.OneWay), nil, format.Metric)))
	wantCount(t, oneWay, ".ProfileDrawing-turn", 0)
}

func TestProfileWords(t *testing.T) {
	tests := []struct {
		name  string
		sys   format.System
		signs string
		units string
	}{
		{"metric", format.Metric, "highest 900 m, lowest 700 m steepest 100 m: up 10 % at 0.4 km", "m km"},
		{"US", format.US, "highest 2950 ft, lowest 2300 ft steepest 328 ft: up 10 % at 0.2 mi", "ft mi"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			doc := draw(t, chart.Profile(chart.NewProfileDrawing(hill(track.OneWay), nil, tt.sys)))
			wantText(t, doc, ".Drawn-keys", tt.signs)
			if got := text(doc, ".Drawn-up .Drawn-unit") + " " +
				text(doc, ".Drawn-across .Drawn-unit"); got != tt.units {
				t.Errorf("axes in %q, want %q", got, tt.units)
			}
		})
	}
}

// The words give the ratio of both scales as the ticks of the axes show it.
func TestProfileSaysHowMuchItStretches(t *testing.T) {
	d := chart.NewProfileDrawing(hill(track.OneWay), nil, format.Metric)
	at := func(ticks []chart.DrawnTick, label string) float64 {
		for _, tick := range ticks {
			if tick.Label == label {
				return parsed(t, tick.At) / 100
			}
		}
		t.Fatalf("no tick %q in %v", label, ticks)
		return 0
	}
	up := (at(d.Up, "700") - at(d.Up, "900")) * 480 / 200
	across := (at(d.Across, "2.0") - at(d.Across, "1.0")) * 1000 / 1000
	if got := up / across; math.Abs(got-4) > 0.05 {
		t.Errorf("stretched %.2f times", got)
	}
	if !strings.HasPrefix(d.Scale, "Heights are drawn 4.0 times larger") {
		t.Errorf("says %q", d.Scale)
	}
}

func TestProfileWithoutHeightsIsWords(t *testing.T) {
	p := hill(track.OneWay)
	p.HasElevation = false
	doc := draw(t, chart.Profile(chart.NewProfileDrawing(p, nil, format.Metric)))
	wantCount(t, doc, "svg", 0)
	if got := text(doc, "p"); !strings.Contains(got, "not known") {
		t.Errorf("says %q", got)
	}
}

func TestProfileOfFlatGroundIsFlat(t *testing.T) {
	p := walked(track.OneWay, []unit.Position{unit.At(33, -112), unit.At(33.05, -112), unit.At(33.1, -112)})
	p.Samples[1].Elevation, p.Highest = 504, 504
	doc := draw(t, chart.Profile(chart.NewProfileDrawing(p, nil, format.Metric)))
	for _, at := range drawnLines(t, doc, "polyline.ProfileDrawing-line")[0] {
		if math.Abs(at[1]-240) > 15 {
			t.Errorf("4 m in 11 km are drawn at %v of 480", at)
		}
	}
}

func TestProfileStacksMarksAtOnePlace(t *testing.T) {
	points := []chart.DrawnPoint{{Name: "Gate"}, {Name: "Fork", Along: 1000}, {Name: "Tank", Along: 1000},
		{Name: "Bench", Along: 1050}, {Name: "Saddle", Along: 2900}}
	d := chart.NewProfileDrawing(hill(track.OneWay), points, format.Metric)
	if len(d.MarkRows) != 3 {
		t.Fatalf("%d rows of marks, want 3", len(d.MarkRows))
	}
	wantText(t, draw(t, chart.Profile(d)), ".Drawn-row:last-child .Drawn-number", "125")
	if got := len(d.MarkRows[2].Through); got != 2 {
		t.Errorf("%d lines run through the lowest row, want 2", got)
	}
}
