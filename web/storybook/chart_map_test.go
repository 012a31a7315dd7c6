package storybook_test

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
	"github.com/a-h/templ"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

// walked makes a profile of positions, all of the same height. There is a gap before the positions
// with the given indexes.
func walked(shape track.Shape, at []unit.Position, gaps ...int) track.Profile {
	p := track.Profile{Shape: shape, HasElevation: true, Lowest: 500, Highest: 500}
	for i, pos := range at {
		s := track.Sample{At: pos, Elevation: 500}
		if i > 0 {
			s.Along = p.Samples[i-1].Along + p.Samples[i-1].At.DistanceTo(pos)
		}
		for _, g := range gaps {
			if g == i {
				s.Gap, s.Along = true, p.Samples[i-1].Along
			}
		}
		p.Samples = append(p.Samples, s)
	}
	p.Length = p.Far()
	if shape == track.OutAndBack {
		p.Length *= 2
	}
	return p
}

// drawnLines returns the points of every polyline that a selector finds.
func drawnLines(t *testing.T, doc *goquery.Document, selector string) (lines [][][2]float64) {
	t.Helper()
	doc.Find(selector).Each(func(_ int, s *goquery.Selection) {
		var line [][2]float64
		for _, pair := range strings.Fields(s.AttrOr("points", "")) {
			x, y, _ := strings.Cut(pair, ",")
			line = append(line, [2]float64{parsed(t, x), parsed(t, y)})
		}
		lines = append(lines, line)
	})
	return lines
}

func parsed(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSuffix(s, "%"), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		t.Fatalf("%q is no coordinate", s)
	}
	return v
}

func apart(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

func TestMapHasOneScale(t *testing.T) {
	tests := []struct {
		name     string
		lat, lon float64
	}{
		{"at the equator", 0, 20}, {"in the desert", 33.45, -112.07}, {"in the south", -24, 133}, {"far north", 68, 20},
		{"on the date line", -17, 179.999},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			corner := unit.At(tt.lat, tt.lon)
			north := unit.At(tt.lat+0.012, tt.lon)
			east := corner
			east.Lon = unit.Angle(math.Remainder((unit.Angle(tt.lon+0.02) * unit.Degree).Radians(), 2*math.Pi))
			doc := draw(t, chart.Map(chart.NewMapDrawing(walked(track.OneWay, []unit.Position{north, corner, east}),
				nil, format.Metric)))
			line := drawnLines(t, doc, ".MapDrawing-line[points]")[0]
			up := apart(line[0], line[1]) / north.DistanceTo(corner).Metres()
			across := apart(line[1], line[2]) / east.DistanceTo(corner).Metres()
			// Coordinates are rounded to a tenth of some 300 units.
			if ratio := up / across; math.Abs(ratio-1) > 0.001 {
				t.Errorf("a metre north is %.4f times a metre east", ratio)
			}
			if line[0][1] >= line[1][1] || line[2][0] <= line[1][0] {
				t.Errorf("north is not up or east not right: %v", line)
			}
			bar := parsed(t, doc.Find(".MapDrawing-bar").AttrOr("width", "")) / 100 * 600
			want := metresOf(t, text(doc, ".MapDrawing-scale svg:nth-of-type(1) text"))
			if got := bar / up; math.Abs(got/want-1) > 0.001 {
				t.Errorf("the scale bar is %.1f m long, want %.1f", got, want)
			}
		})
	}
}

func metresOf(t *testing.T, label string) float64 {
	t.Helper()
	number, suffix, _ := strings.Cut(label, " ")
	in := map[string]unit.Length{"m": unit.Metre, "km": unit.Kilometre, "ft": unit.Foot, "mi": unit.Mile}
	return parsed(t, number) * in[suffix].Metres()
}

// A walk due north takes 544 of 660 units, and the bar at most 240: 0.44 of its length, rounded
// down. 0.01 degrees are 1109 m. Walks below 200 m are drawn as if 200 m wide.
func TestMapScaleIsRound(t *testing.T) {
	tests := []struct {
		name   string
		length float64 // degrees of latitude
		sys    format.System
		want   string
	}{
		{"a few steps", 0.0001, format.Metric, "50 m"}, {"a short walk", 0.01, format.Metric, "200 m"},
		{"a long walk", 0.1, format.Metric, "2 km"},
		{"a short walk in feet", 0.01, format.US, "1000 ft"}, {"a walk in half miles", 0.02, format.US, "0.5 mi"},
		{"a long walk in miles", 0.1, format.US, "2 mi"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := chart.NewMapDrawing(walked(track.OneWay,
				[]unit.Position{unit.At(33, -112), unit.At(33+tt.length, -112)}), nil, tt.sys)
			if d.Scale.Label != tt.want {
				t.Errorf("scale bar reads %q, want %q", d.Scale.Label, tt.want)
			}
		})
	}
}

func TestMapAcrossTheDateLine(t *testing.T) {
	lines := func(lon float64) any {
		var at []unit.Position
		for i := range 20 {
			east := lon + float64(i)*0.001
			if east > 180 {
				east -= 360
			}
			at = append(at, unit.At(-17+0.004*math.Sin(float64(i)), east))
		}
		d := chart.NewMapDrawing(walked(track.OneWay, at), nil, format.Metric)
		return []any{d.Lines, d.Arrows, d.ViewBox, d.Scale}
	}
	if diff := cmp.Diff(lines(20), lines(179.99)); diff != "" {
		t.Errorf("drawn otherwise than elsewhere (-elsewhere +date line):\n%s", diff)
	}
}

func TestMapSaysGapsAndEnds(t *testing.T) {
	at := []unit.Position{unit.At(33, -112), unit.At(33.01, -112), unit.At(33.02, -112), unit.At(33.03, -112.01)}
	doc := draw(t, chart.Map(chart.NewMapDrawing(walked(track.OneWay, at, 2), nil, format.Metric)))
	wantCount(t, doc, ".Drawn-sheet polyline.Drawn-gap", 1)
	wantCount(t, doc, "polyline.MapDrawing-line", 2)
	gap := drawnLines(t, doc, "polyline.Drawn-gap")[0]
	lines := drawnLines(t, doc, "polyline.MapDrawing-line")
	if gap[0] != lines[0][1] || gap[1] != lines[1][0] {
		t.Errorf("the gap %v does not join %v", gap, lines)
	}
	for _, want := range []string{"start", "finish", "not recorded: 1 gap"} {
		if got := text(doc, ".MapDrawing-legend"); !strings.Contains(got, want) {
			t.Errorf("the legend reads %q, without %q", got, want)
		}
	}
	wantText(t, doc, "svg[role=img] > title", "Map of the line walked")
	if got := text(doc, "svg[role=img] > desc"); !strings.HasPrefix(got,
		"One way, 2.6 km in all. The far end lies 3.5 km north of the start.") {
		t.Errorf("described as %q", got)
	}
}

// Marks at one place must not overlap on the narrowest page, where the map is 300 px wide and a
// mark 22 px.
func TestMapMarksStandApart(t *testing.T) {
	p := walked(track.OutAndBack, []unit.Position{unit.At(33, -112), unit.At(33.01, -112.003), unit.At(33.02, -112)})
	var points []chart.DrawnPoint
	for range 12 {
		points = append(points, chart.DrawnPoint{Kind: "junction", Name: "Tank", Along: 900})
	}
	points = append(points, chart.DrawnPoint{Kind: "trailhead", Name: "Gate"},
		chart.DrawnPoint{Kind: "goal", Name: "Saddle", Along: p.Far()})
	d := chart.NewMapDrawing(p, points, format.Metric)
	if len(d.Marks) != len(points) || len(d.Keys) != len(points) {
		t.Fatalf("%d marks and %d keys, want %d", len(d.Marks), len(d.Keys), len(points))
	}
	wantApart(t, d)
	doc := draw(t, chart.Map(d))
	wantText(t, doc, ".MapDrawing-legend li:first-child .Drawn-number", "1")
	wantText(t, doc, ".MapDrawing-legend .Drawn-keys:first-child li:first-child span", "Gate trailhead, 0.0 km")
}

func wantApart(t interface {
	Errorf(string, ...any)
	Helper()
}, d chart.MapDrawing) {
	t.Helper()
	box := strings.Fields(d.ViewBox)
	tall, _ := strconv.ParseFloat(box[3], 64)
	px := func(m chart.DrawnMark) [2]float64 {
		x, _ := strconv.ParseFloat(strings.TrimSuffix(m.AtX, "%"), 64)
		y, _ := strconv.ParseFloat(strings.TrimSuffix(m.AtY, "%"), 64)
		return [2]float64{x / 100 * 300, y / 100 * 300 * tall / 600}
	}
	for i, a := range d.Marks {
		for _, b := range d.Marks[:i] {
			if got := apart(px(a), px(b)); !(got >= 22) {
				t.Errorf("marks %s and %s are %.1f px apart", a.Number, b.Number, got)
			}
		}
	}
}

func TestDrawingsOfDegenerateWalks(t *testing.T) {
	north := []unit.Position{unit.At(33, -112), unit.At(33.01, -112), unit.At(33.02, -112)}
	tests := []struct {
		name string
		p    track.Profile
	}{
		{"two points a metre apart", walked(track.OneWay, []unit.Position{unit.At(33, -112), unit.At(33.00001, -112)})},
		{"straight north", walked(track.OutAndBack, north)},
		{"straight east", walked(track.OutAndBack, []unit.Position{unit.At(33, -112), unit.At(33, -111.9)})},
		{"nothing but a gap", walked(track.OneWay, north[:2], 1)},
		{"one gap", walked(track.Loop, north, 1)},
		{"at the pole", walked(track.OneWay, []unit.Position{unit.At(90, 0), unit.At(89.99, 0)})},
		{"no points", track.Profile{HasElevation: true}},
	}
	points := []chart.DrawnPoint{{Name: "Gate"}, {Name: "Beyond", Along: 1e6}, {Name: "Before", Along: -5}}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, sys := range []format.System{format.Metric, format.US} {
				wantNumbers(t, chart.Map(chart.NewMapDrawing(tt.p, points, sys)))
				wantNumbers(t, chart.Profile(chart.NewProfileDrawing(tt.p, points, sys)))
			}
		})
	}
}

// wantNumbers fails where a coordinate is not a number.
func wantNumbers(t interface{ Fatalf(string, ...any) }, c templ.Component) {
	var b strings.Builder
	if err := c.Render(context.Background(), &b); err != nil {
		t.Fatalf("render: %v", err)
	}
	for _, bad := range []string{"NaN", "Inf", "style="} {
		if strings.Contains(b.String(), bad) {
			t.Fatalf("drawn with %s: %s", bad, b.String())
		}
	}
}

func TestDrawingsOfRecordedWalks(t *testing.T) {
	for _, name := range []string{"hike-montana-1hz.gpx", "lake-ride-gap.gpx", "ridge-trek.gpx"} {
		t.Run(name, func(t *testing.T) {
			p := sharedProfile(t, name, track.OutAndBack)
			for selector, c := range map[string]templ.Component{
				"polyline.MapDrawing-line":     chart.Map(chart.NewMapDrawing(p, nil, format.Metric)),
				"polyline.ProfileDrawing-line": chart.Profile(chart.NewProfileDrawing(p, nil, format.Metric)),
			} {
				total := 0
				for _, line := range drawnLines(t, draw(t, c), selector) {
					total += len(line)
				}
				if total < 50 || total > 600 {
					t.Errorf("%s has %d points, want 50 to 600", selector, total)
				}
			}
		})
	}
}
