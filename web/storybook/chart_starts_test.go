package storybook_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

// fourStarts are 5 minutes apart from 06:00: 2 degrees below the limit, at it, 2 above and 6 above.
func fourStarts() plan.StartWindow {
	w := plan.StartWindow{Earliest: dayAt(6, 0), Latest: dayAt(6, 5), Best: dayAt(6, 0)}
	for i, s := range []plan.Start{{Decision: plan.Go, Over: -2}, {Decision: plan.Go},
		{Decision: plan.Change, Over: 2, Limit: "off-by time"},
		{Decision: plan.Cancel, Over: 6, Limit: "house ladder"}} {
		s.At = dayAt(6, 5*i)
		w.Starts = append(w.Starts, s)
	}
	return w
}

func TestStartsAreDrawnAndSaid(t *testing.T) {
	c := chart.DrawnStarts(chart.NewStartsDrawing(fourStarts(), dayAt(6, 10).Time, drawnZone, format.Metric))
	wantNumbers(t, c)
	doc := draw(t, c)
	for selector, want := range map[string]int{
		".StartsDrawing-column": 4, ".StartsDrawing-column[fill='url(#starts-go)']": 2,
		".StartsDrawing-column[fill='url(#starts-change)']": 1,
		".StartsDrawing-column[fill='url(#starts-cancel)']": 1, "pattern": 3, "line.DayDrawing-limit": 1,
		".Drawn-row .Drawn-number": 3, ".Drawn-row .Drawn-filled": 1,
	} {
		wantCount(t, doc, selector, want)
	}
	wantText(t, doc, "svg[role=img] title", "What each start of the day meets")
	wantText(t, doc, "svg[role=img] desc",
		"Plan says go: starts 06:00 to 06:05. Plan says change: starts 06:10. Plan says cancel: starts 06:15. "+
			"Start as planned 06:10. Best start, the earliest that passes, 06:00. Latest that passes 06:05.")
	words := text(doc, ".Drawn-keys")
	for _, want := range []string{"start as planned 06:10 change (off-by time); 2.0\u00a0\u00b0C above",
		"best start, the earliest that passes, 06:00 go; 2.0\u00a0\u00b0C below"} {
		if !strings.Contains(strings.ReplaceAll(words, "\u00a0", " "), strings.ReplaceAll(want, "\u00a0", " ")) {
			t.Errorf("the words lack %q: %s", want, words)
		}
	}
}

// The scale runs from 06:00 to 07:00, and hotter starts have higher columns.
func TestStartsPlaces(t *testing.T) {
	d := chart.NewStartsDrawing(fourStarts(), dayAt(6, 10).Time, drawnZone, format.Metric)
	limit := parsed(t, d.Limit.Y)
	for i, c := range d.Columns {
		if x := parsed(t, c.X); math.Abs(x-float64(i)*100/12) > 0.01 {
			t.Errorf("column %d stands at %.2f %%", i, x)
		}
		if foot := parsed(t, c.Y) + parsed(t, c.Height); math.Abs(foot-100) > 0.011 {
			t.Errorf("column %d ends at %.2f %%, not at the floor", i, foot)
		}
	}
	below, at, above, far := limit-parsed(t, d.Columns[0].Y), limit-parsed(t, d.Columns[1].Y),
		limit-parsed(t, d.Columns[2].Y), limit-parsed(t, d.Columns[3].Y)
	if math.Abs(at) > 0.011 || math.Abs(above+below) > 0.021 || math.Abs(far-3*above) > 0.04 || above <= 0 {
		t.Errorf("tops stand %.2f, %.2f, %.2f and %.2f %% above the limit, want -2, 0, 2 and 6 parts",
			below, at, above, far)
	}
	us := chart.NewStartsDrawing(fourStarts(), dayAt(6, 10).Time, drawnZone, format.US)
	if us.UnitY != "\u00b0F" || !strings.Contains(us.Keys[0].Note, "3.6\u00a0\u00b0F above") {
		t.Errorf("in US units: %s, %q", us.UnitY, us.Keys[0].Note)
	}
}

func TestStartsWithMissingData(t *testing.T) {
	none := fourStarts()
	none.Earliest, none.Latest = plan.Instant{}, plan.Instant{}
	care := none
	care.Care = &plan.Care{Earliest: dayAt(6, 10), Latest: dayAt(6, 10)}
	unknown := fourStarts()
	unknown.Starts[2].Over = unit.Temperature(math.NaN())
	one := plan.StartWindow{Best: dayAt(6, 0), Starts: fourStarts().Starts[:1]}
	tests := []struct {
		name          string
		w             plan.StartWindow
		zone          *time.Location
		start         plan.Instant
		columns, keys int
		word          string
	}{
		{"no start", plan.StartWindow{}, drawnZone, dayAt(6, 0), 0, 0, "no start to draw"},
		{"no zone", fourStarts(), nil, dayAt(6, 0), 0, 0, "zone is not known"},
		{"none passes", none, drawnZone, dayAt(6, 0), 4, 5, "least bad start 06:00"},
		{"with care", care, drawnZone, dayAt(6, 0), 4, 7, "earliest with care 06:10"},
		{"a start not known is left out", unknown, drawnZone, dayAt(6, 0), 3, 5, "best start"},
		{"one start", one, drawnZone, dayAt(6, 0), 1, 3, "least bad start"},
		{"planned before first light", fourStarts(), drawnZone, dayAt(4, 0), 4, 6,
			"start as planned 04:00 outside the starts"},
		{"planned on another day", fourStarts(), drawnZone, plan.Instant{Time: dayAt(6, 0).AddDate(0, 0, 9)}, 4, 5,
			"best start"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := chart.DrawnStarts(chart.NewStartsDrawing(tt.w, tt.start.Time, tt.zone, format.Metric))
			wantNumbers(t, c)
			doc := draw(t, c)
			wantCount(t, doc, ".StartsDrawing-column", tt.columns)
			wantCount(t, doc, ".Drawn-keys li", tt.keys)
			if got := text(doc, "body"); !strings.Contains(got, tt.word) {
				t.Errorf("reads %q, want %q", got, tt.word)
			}
		})
	}
}
