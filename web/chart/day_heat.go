package chart

import (
	"time"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// heat draws both temperatures, the limit, and where the limiting temperature is above it.
func (d *DayDrawing) heat(c dial) {
	for _, run := range c.runs(func(h plan.Hour) unit.Temperature { return h.WBGT }) {
		d.WBGT = append(d.WBGT, pointsOf(run))
		d.Dots = append(d.Dots, dotsOf(run)...)
		if known(c.plan.Heat.Limit) {
			for _, area := range above(run, c.y(c.degrees(c.plan.Heat.Limit))) {
				d.Over = append(d.Over, pointsOf(area))
			}
		}
	}
	for _, run := range c.runs(func(h plan.Hour) unit.Temperature { return h.Air }) {
		d.Air = append(d.Air, pointsOf(run))
		d.Boxes = append(d.Boxes, dotsOf(run)...)
	}
	d.limits(c)
	// Our judgment: five labels fit in a drawing as high as a hand is wide.
	for _, v := range roundTicks(c.low, c.high, 5) {
		d.Up = append(d.Up, DrawnTick{At: c.shareY(v.value), Label: v.label, Anchor: "end"})
	}
}

// runs returns the hours of one quantity, interrupted where it is unknown.
func (c dial) runs(of func(plan.Hour) unit.Temperature) [][]spot {
	var runs [][]spot
	open := false
	for _, h := range c.plan.Heat.Hours {
		if t := of(h); !known(t) || h.At.IsZero() {
			open = false
			continue
		}
		if !open {
			runs, open = append(runs, nil), true
		}
		last := len(runs) - 1
		runs[last] = append(runs[last], spot{c.x(h.At.Time), c.y(c.degrees(of(h)))})
	}
	return runs
}

func dotsOf(run []spot) []DayDot {
	dots := make([]DayDot, len(run))
	for i, s := range run {
		dots[i] = DayDot{ui.PercentOf(s.x / dayWidth), ui.PercentOf(s.y / dayHeight)}
	}
	return dots
}

// above returns the areas between a line and a level that lie above the level. y grows downward.
func above(line []spot, level float64) [][]spot {
	var areas [][]spot
	var area []spot
	end := func() {
		if len(area) > 2 {
			areas = append(areas, area)
		}
		area = nil
	}
	for i, s := range line {
		if i > 0 && (line[i-1].y < level) != (s.y < level) {
			a := line[i-1]
			area = append(area, spot{a.x + (level-a.y)/(s.y-a.y)*(s.x-a.x), level})
		}
		if s.y < level {
			if len(area) == 0 {
				area = append(area, spot{s.x, level})
			}
			area = append(area, s)
			continue
		}
		end()
	}
	if n := len(area); n > 0 {
		area = append(area, spot{area[n-1].x, level})
	}
	end()
	return areas
}

// dayMark is a time that limits the party.
type dayMark struct {
	at               time.Time
	text, note, form string
}

// marks returns the known times of the plan, in order.
func (c dial) marks() []dayMark {
	r := c.clocks
	all := []dayMark{
		{r.Start, "start", "", "round"},
		c.turn(),
		{r.Expected, "expected back", "half of such parties are back by then", "round"},
	}
	if r.Watch.Equal(r.Latest) {
		all = append(all, dayMark{r.Watch, "watch from", "nine in ten are back by then", "round"})
	} else {
		because := ""
		if r.WatchBecause != "" {
			because = "because of " + r.WatchBecause
		}
		all = append(all, dayMark{r.Watch, "watch from", because, "round"},
			dayMark{r.Latest, "latest return", "nine in ten are back by then", "round"})
	}
	all = append(all, dayMark{r.Call, "call for help", "", "cut"})
	var marks []dayMark
	for _, m := range all {
		if m.at.IsZero() {
			continue
		}
		m.text += " " + format.Clock(m.at, c.zone)
		marks = append(marks, m)
	}
	return marks
}

// turn is the time to turn around, or on a one-way trail the time to be off it.
func (c dial) turn() dayMark {
	k := c.clocks
	if k.Turn.IsZero() {
		return dayMark{k.Off, "off the trail by", k.OffBecause, "filled"}
	}
	return dayMark{k.Turn, "turn round by", k.TurnBecause, "filled"}
}

// used returns the limit with acclimatization. Old plans have none.
func (c dial) used() (unit.Temperature, bool) {
	h := c.plan.Heat
	return h.ExposureLimit, known(h.ExposureLimit) && known(h.AlertLimit) && h.ExposureLimit > h.AlertLimit
}

// limits draws the limit without acclimatization, and the one with it, which decides the off-by
// time.
func (d *DayDrawing) limits(c dial) {
	if used, both := c.used(); both {
		alert := c.plan.Heat.AlertLimit
		d.Limit = &DrawnLabel{Y: c.shareY(c.degrees(alert)), Text: "alert limit " + format.Temperature(alert, c.sys)}
		d.Used = &DrawnLabel{Y: c.shareY(c.degrees(used)), Text: "off-by limit " + format.Temperature(used, c.sys)}
	} else if known(c.plan.Heat.Limit) {
		d.Limit = &DrawnLabel{Y: c.shareY(c.degrees(c.plan.Heat.Limit)),
			Text: "limit " + format.Temperature(c.plan.Heat.Limit, c.sys)}
	}
}

func (c dial) signs(d DayDrawing) []DrawnKey {
	keys := []DrawnKey{
		{Symbol: "wbgt", Text: "WBGT, heat as the body meets it: air, damp, sun and wind in one"},
		{Symbol: "air", Text: "air temperature in the shade"},
	}
	if used, both := c.used(); both {
		keys = append(keys, DrawnKey{Symbol: "alert", Text: "alert limit of the WBGT for people not used to heat, " +
			unbroken(format.Temperature(c.plan.Heat.AlertLimit, c.sys)), Note: "above it more rest, shade and water"},
			DrawnKey{Symbol: "limit", Text: "off-by limit for people used to heat, " +
				unbroken(format.Temperature(used, c.sys)),
				Note: "everybody is off the trail before it is passed, or before the house ladder's last step"})
	} else if d.Limit != nil {
		keys = append(keys, DrawnKey{Symbol: "limit", Text: "limit of the WBGT for this walk, " +
			unbroken(format.Temperature(c.plan.Heat.Limit, c.sys))})
	}
	if len(d.Over) > 0 {
		keys = append(keys, DrawnKey{Symbol: "over", Text: "above the limit"})
	}
	if d.Walk != nil {
		keys = append(keys, DrawnKey{Symbol: "likely", Text: "on the trail, up to the likely return"},
			DrawnKey{Symbol: "late", Text: "from the likely to the late return"})
	}
	if len(d.Dark) > 0 {
		keys = append(keys, DrawnKey{Symbol: "twilight", Text: "twilight: no sun"},
			DrawnKey{Symbol: "night", Text: "night: lamps"})
	}
	return keys
}

// describe describes the drawing in words.
func (c dial) describe() string {
	peak := plan.Hour{WBGT: unit.Celsius(-1000)}
	for _, h := range c.plan.Heat.Hours {
		if known(h.WBGT) && h.WBGT > peak.WBGT {
			peak = h
		}
	}
	text := "WBGT is highest at " + format.Clock(peak.At.Time, c.zone) + " with " +
		format.Temperature(peak.WBGT, c.sys) + "."
	if used, both := c.used(); both {
		text += " The alert limit for people not used to heat is " + format.Temperature(c.plan.Heat.AlertLimit, c.sys) +
			", the limit for people used to it " + format.Temperature(used, c.sys) + "."
	} else if known(c.plan.Heat.Limit) {
		text += " The limit for this walk is " + format.Temperature(c.plan.Heat.Limit, c.sys) + "."
	}
	for _, m := range c.marks() {
		text += " " + m.text + "."
	}
	return text
}
