package chart

import (
	"math"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// DayDrawing is heat, light and the walk on one scale of hours. It holds ready coordinates and
// text. Where there is nothing to draw, only Words is shown.
type DayDrawing struct {
	Words       string
	Title, Desc string
	ViewBox     string
	Dark        []DayBand // night, the darkest, before twilight
	WBGT, Air   []string  // points of lines, interrupted where hours are unknown
	Dots, Boxes []DayDot
	Over        []string    // where the WBGT is above the limit
	Limit       *DrawnLabel // for these people, or the limit without acclimatization where both are known
	Used        *DrawnLabel // with acclimatization
	Hours, Up   []DrawnTick
	UnitY       string
	Walk        *DayWalk
	MarkRows    []DrawnRow
	Keys        []DrawnKey // times
	Signs       []DrawnKey // legend of the strokes
}

// DayBand is a stretch of the day in units of the viewBox. Hatch holds the strokes of the night.
type DayBand struct {
	X, Width string
	Hatch    []string
}

// DayDot is the value of one hour.
type DayDot struct{ X, Y string }

// DayWalk is the party's time out, in shares of the width: From is the start, Likely the time by
// which half of such parties are back, Late the time for nine in ten, Call the call for help.
type DayWalk struct{ From, Likely, LikelyWide, Late, LateWide, Call string }

// The plot of the day. It is stretched to the page, so only shares of it matter.
const (
	dayWidth  = 1000.0
	dayHeight = 400.0
)

// NewDayDrawing draws the plan's day by the trailhead's wall clock. It leaves out the heat index,
// which does not measure work in the sun.
func NewDayDrawing(p plan.Plan, k party.Clocks, zone *time.Location, sys format.System) DayDrawing {
	if zone == nil {
		return DayDrawing{Words: "The trailhead's time zone is not known, so the day cannot be drawn."}
	}
	c, ok := newDial(p, k, zone, sys)
	if !ok {
		return DayDrawing{Words: "There is no forecast by the hour to draw. No data is not a good sign: it is no sign."}
	}
	d := DayDrawing{
		Title: "The day by the hour", Desc: c.describe(),
		ViewBox: "0 0 " + coordinate(dayWidth) + " " + coordinate(dayHeight),
		UnitY:   "\u00b0C", Dark: c.dark(), Hours: c.hours(),
	}
	if sys == format.US {
		d.UnitY = "\u00b0F"
	}
	d.heat(c)
	d.walk(c)
	d.Signs = c.signs(d)
	return d
}

// dial is the scale of hours and temperatures of one day.
type dial struct {
	plan     plan.Plan
	clocks   party.Clocks
	zone     *time.Location
	sys      format.System
	from, to time.Time
	low      float64 // at the lower edge, in the viewer's degrees
	high     float64
}

func newDial(p plan.Plan, k party.Clocks, zone *time.Location, sys format.System) (dial, bool) {
	c := dial{plan: p, clocks: k, zone: zone, sys: sys, low: math.Inf(1), high: math.Inf(-1)}
	for _, h := range p.Heat.Hours {
		if known(h.Air) || known(h.WBGT) {
			c.widen(h.At.Time)
		}
		c.raise(h.Air)
		c.raise(h.WBGT)
	}
	if !c.to.After(c.from) {
		return c, false
	}
	for _, m := range c.marks() {
		c.widen(m.at)
	}
	c.raise(p.Heat.Limit)
	if used, both := c.used(); both {
		c.raise(used)
		c.raise(p.Heat.AlertLimit)
	}
	c.from, c.to = wallHour(c.from, zone), wallHour(c.to.Add(time.Hour-time.Nanosecond), zone)
	// Our judgment: a tenth of the height keeps lines off the edges and leaves room for the text of
	// the limit.
	room := max(0.1*(c.high-c.low), 1)
	c.low, c.high = c.low-room, c.high+1.5*room
	return c, true
}

func known(t unit.Temperature) bool {
	return !math.IsNaN(t.Celsius()) && !math.IsInf(t.Celsius(), 0)
}

// wallHour is the last full hour of the wall clock.
func wallHour(t time.Time, zone *time.Location) time.Time {
	w := t.In(zone)
	past := time.Duration(w.Minute())*time.Minute + time.Duration(w.Second())*time.Second +
		time.Duration(w.Nanosecond())
	return w.Add(-past)
}

func (c *dial) widen(t time.Time) {
	if t.IsZero() {
		return
	}
	if c.from.IsZero() || t.Before(c.from) {
		c.from = t
	}
	if c.to.IsZero() || t.After(c.to) {
		c.to = t
	}
}

func (c *dial) raise(t unit.Temperature) {
	if !known(t) {
		return
	}
	c.low, c.high = min(c.low, c.degrees(t)), max(c.high, c.degrees(t))
}

func (c dial) degrees(t unit.Temperature) float64 {
	if c.sys == format.US {
		return t.Fahrenheit()
	}
	return t.Celsius()
}

// share is the position of a time on the scale, limited to 0 to 1.
func (c dial) share(t time.Time) float64 {
	return max(0, min(1, float64(t.Sub(c.from))/float64(c.to.Sub(c.from))))
}

func (c dial) x(t time.Time) float64 { return c.share(t) * dayWidth }

func (c dial) y(degrees float64) float64 { return (c.high - degrees) / (c.high - c.low) * dayHeight }

func (c dial) shareY(degrees float64) string { return ui.PercentOf(c.y(degrees) / dayHeight) }

// hours are the labels of the time axis, on round hours of the wall clock.
func (c dial) hours() []DrawnTick {
	every := 1
	// Our judgment: five labels of five characters fit side by side on a phone.
	for _, every = range []int{1, 2, 3, 4, 6} {
		if c.to.Sub(c.from) < time.Duration(5*every)*time.Hour {
			break
		}
	}
	var ticks []DrawnTick
	for t := c.from; !t.After(c.to); t = t.Add(time.Hour) {
		if t.In(c.zone).Hour()%every != 0 {
			ticks = append(ticks, DrawnTick{At: ui.PercentOf(c.share(t))})
			continue
		}
		// A label that would leave the scale is set inside it.
		anchor := "middle"
		switch share := c.share(t); {
		case share < 0.05:
			anchor = "start"
		case share > 0.95:
			anchor = "end"
		}
		ticks = append(ticks, DrawnTick{At: ui.PercentOf(c.share(t)), Label: format.Clock(t, c.zone), Anchor: anchor})
	}
	return ticks
}

// dark returns the parts of the scale without sun: twilight, and night on top of it.
func (c dial) dark() []DayBand {
	s := c.plan.Sun
	var bands []DayBand
	add := func(from, to time.Time, night bool) {
		a, b := c.x(from), c.x(to)
		if b-a < 0.05 {
			return
		}
		band := DayBand{X: coordinate(a), Width: coordinate(b - a)}
		for x := math.Floor(a/8)*8 + 8; night && x < b; x += 8 {
			band.Hatch = append(band.Hatch, coordinate(x))
		}
		bands = append(bands, band)
	}
	if !s.Sunrise.IsZero() && !s.Sunset.IsZero() {
		add(c.from, s.Sunrise.Time, false)
		add(s.Sunset.Time, c.to, false)
	}
	if !s.CivilDawn.IsZero() && !s.CivilDusk.IsZero() {
		add(c.from, s.CivilDawn.Time, true)
		add(s.CivilDusk.Time, c.to, true)
	}
	return bands
}

// walk draws the party's time out, and numbers the times that limit it.
func (d *DayDrawing) walk(c dial) {
	marks := c.marks()
	drawn, shares := make([]DrawnMark, len(marks)), make([]float64, len(marks))
	for i, m := range marks {
		drawn[i] = DrawnMark{Number: strconv.Itoa(i + 1), Form: m.form}
		shares[i] = c.share(m.at)
		d.Keys = append(d.Keys, DrawnKey{Mark: drawn[i], Text: m.text, Note: m.note})
	}
	d.MarkRows = inRows(drawn, shares)
	r := c.clocks
	if r.Expected.IsZero() || r.Latest.IsZero() {
		return
	}
	start, likely, late := c.share(r.Start), c.share(r.Expected), c.share(r.Latest)
	d.Walk = &DayWalk{
		From: ui.PercentOf(start), Likely: ui.PercentOf(likely), LikelyWide: ui.PercentOf(likely - start),
		Late: ui.PercentOf(late), LateWide: ui.PercentOf(late - likely),
	}
	if !r.Call.IsZero() {
		d.Walk.Call = ui.PercentOf(c.share(r.Call))
	}
}
