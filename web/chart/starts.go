package chart

import (
	"math"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// StartsDrawing is what every start of the day would meet, as columns on a scale of hours:
// ready coordinates and words. Words is all that is shown where there is nothing to draw.
type StartsDrawing struct {
	Words       string
	Title, Desc string
	Columns     []StartColumn
	Limit       *DrawnLabel // the nearest heat limit, where columns cross it
	limitRise   string      // of its words from its line: below it where there is no room above
	Hours, Up   []DrawnTick
	UnitY       string
	MarkRows    []DrawnRow
	Keys        []DrawnKey // the planned start and what the window says
	Signs       []DrawnKey // the decisions, with the starts that have them
}

// StartColumn is one start. Decision is "go", "change" or "cancel" and chooses its pattern.
type StartColumn struct{ X, Y, Width, Height, Decision string }

// startStep is the distance of two starts of a window.
const startStep = 5 * time.Minute

// NewStartsDrawing draws a window by the trailhead's wall clock. Columns stand as high as
// the start is above the coolest that can be had; the line across is the heat limit.
func NewStartsDrawing(w plan.StartWindow, current time.Time, zone *time.Location, sys format.System) StartsDrawing {
	if zone == nil {
		return StartsDrawing{Words: "The trailhead's time zone is not known, so the starts cannot be drawn."}
	}
	f, ok := newFan(w, current, zone, sys)
	if !ok {
		return StartsDrawing{Words: "There is no start to draw: the plan holds none for this day."}
	}
	d := StartsDrawing{Title: "What each start of the day meets",
		Desc: f.describe(), UnitY: format.TemperatureUnit(sys), Hours: f.hours(), Signs: f.signs()}
	for _, v := range roundTicks(f.low, f.high, 5) {
		if f.y(v.value) < dayHeight/12 {
			continue // the unit stands there
		}
		label := v.label
		if v.value > 0 {
			label = "+" + label
		}
		d.Up = append(d.Up, DrawnTick{At: f.shareY(v.value), Label: label, Anchor: "end"})
	}
	for _, s := range f.starts {
		d.Columns = append(d.Columns, f.column(s))
	}
	d.Limit = &DrawnLabel{Y: f.shareY(0), Text: "heat limit"}
	// House judgement: a fifth of the height has room for the words above the line.
	d.limitRise = "-7"
	if f.y(0) < dayHeight/5 {
		d.limitRise = "18"
	}
	d.mark(f)
	return d
}

// fan is the scale of the starts: hours across, and degrees above the limit up.
type fan struct {
	dial
	window  plan.StartWindow
	current time.Time
	starts  []plan.Start // those whose heat is known
}

func newFan(w plan.StartWindow, current time.Time, zone *time.Location, sys format.System) (fan, bool) {
	f := fan{dial: dial{zone: zone, sys: sys}, window: w, current: current}
	for _, s := range w.Starts {
		if known(s.Over) && !s.At.IsZero() {
			f.starts = append(f.starts, s)
			f.widen(s.At.Time)
			f.low, f.high = min(f.low, f.over(s)), max(f.high, f.over(s))
		}
	}
	if len(f.starts) == 0 {
		return f, false
	}
	// House judgement: a start of another day, left from before a change, is not drawn.
	if off := current.Sub(f.from); off < -12*time.Hour || off > 24*time.Hour {
		f.current = time.Time{}
	}
	f.widen(f.current)
	f.from, f.to = wallHour(f.from, zone), wallHour(f.to.Add(startStep+time.Hour-time.Nanosecond), zone)
	// House judgement: a tenth of room below keeps the best start to be seen, and a tenth
	// above keeps the highest column off the edge.
	room := max(0.1*(f.high-f.low), 1)
	f.low, f.high = f.low-room, f.high+room
	return f, true
}

// over is a difference of temperatures in the viewer's degrees.
func (f fan) over(s plan.Start) float64 { return degreesApart(s.Over, f.sys) }

func degreesApart(t unit.Temperature, sys format.System) float64 {
	if sys == format.US {
		return t.Fahrenheit() - unit.Celsius(0).Fahrenheit()
	}
	return t.Celsius()
}

// House judgement: a fifth of a column's width is left open, so that columns can be told.
const columnFilled = 0.8

func (f fan) column(s plan.Start) StartColumn {
	top := f.y(f.over(s)) / dayHeight
	step := float64(startStep) / float64(f.to.Sub(f.from))
	return StartColumn{X: ui.PercentOf(f.share(s.At.Time)), Y: ui.PercentOf(top),
		Width:  ui.PercentOf(columnFilled * step),
		Height: ui.PercentOf(1 - top), Decision: string(s.Decision)}
}

// startMark is a start that the window or the leader names.
type startMark struct {
	at               time.Time
	text, note, form string
}

func (f fan) marks() []startMark {
	w := f.window
	from, to, which := w.Earliest.Time, w.Latest.Time, "that passes"
	best := startMark{w.Best.Time, "best start", f.met(w.Best.Time), "filled"}
	if from.IsZero() {
		best.text = "least bad start"
		if w.Care != nil {
			from, to, which = w.Care.Earliest.Time, w.Care.Latest.Time, "with care"
		}
	}
	marks := []startMark{{f.current, "start as planned", f.met(f.current), "round"}}
	ends := []startMark{{from, "earliest " + which, "", "cut"}, {to, "latest " + which, "", "cut"}}
	if from.Equal(best.at) {
		best.text, ends = best.text+", the earliest "+which+",", ends[1:]
	}
	return append(append(marks, best), ends...)
}

// mark numbers the named starts.
func (d *StartsDrawing) mark(f fan) {
	var drawn []DrawnMark
	var shares []float64
	for _, m := range f.marks() {
		if m.at.IsZero() {
			continue
		}
		n := DrawnMark{Number: strconv.Itoa(len(drawn) + 1), Form: m.form}
		drawn, shares = append(drawn, n), append(shares, f.share(m.at.Add(startStep*2/5)))
		d.Keys = append(d.Keys, DrawnKey{Mark: n, Text: m.text + " " + format.Clock(m.at, f.zone), Note: m.note})
	}
	d.MarkRows = inRows(drawn, shares)
}

// met says what the start at a time meets, or that it is none of the day's.
func (f fan) met(at time.Time) string {
	for _, s := range f.starts {
		if !at.Before(s.At.Time) && at.Before(s.At.Add(startStep)) {
			return StartMeets(s, f.sys)
		}
	}
	return "outside the starts between first and last light"
}

// StartMeets says what one start meets: "change (house ladder); 1.2 degrees above".
func StartMeets(s plan.Start, sys format.System) string {
	text := string(s.Decision)
	if s.Limit != "" {
		text += " (" + s.Limit + ")"
	}
	over := degreesApart(s.Over, sys)
	if math.IsNaN(over) {
		return text
	}
	margin := unbroken(format.Amount(math.Abs(over), 1, format.TemperatureUnit(sys)))
	if over > 0 {
		return text + "; " + margin + " above the nearest heat limit"
	}
	return text + "; " + margin + " below the nearest heat limit"
}

// stretches tells the runs of starts with one decision: "05:10 to 06:05, and at 18:00".
func (f fan) stretches(d plan.Decision) string {
	var runs []string
	for i := 0; i < len(f.starts); i++ {
		if f.starts[i].Decision != d {
			continue
		}
		first := i
		for i+1 < len(f.starts) && f.starts[i+1].Decision == d {
			i++
		}
		runs = append(runs, format.ClockRange(f.starts[first].At.Time, f.starts[i].At.Time, f.zone))
	}
	return strings.Join(runs, ", ")
}

// signs are the decisions that the day holds.
func (f fan) signs() []DrawnKey {
	var keys []DrawnKey
	for _, d := range []plan.Decision{plan.Go, plan.Change, plan.Cancel} {
		if when := f.stretches(d); when != "" {
			keys = append(keys, DrawnKey{Symbol: string(d), Text: "plan says " + string(d), Note: "starts " + when})
		}
	}
	return keys
}

// describe says in words what the drawing shows.
func (f fan) describe() string {
	var parts []string
	for _, k := range f.signs() {
		parts = append(parts, strings.ToUpper(k.Text[:1])+k.Text[1:]+": "+k.Note+".")
	}
	for _, m := range f.marks() {
		if !m.at.IsZero() {
			parts = append(parts, strings.ToUpper(m.text[:1])+m.text[1:]+" "+format.Clock(m.at, f.zone)+".")
		}
	}
	return strings.Join(parts, " ")
}
