package chart

import (
	"fmt"
	"math"
	"strconv"

	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// ProfileDrawing is elevation against distance for the whole walk: ready coordinates and
// words. Words is all that is shown where heights are not known.
type ProfileDrawing struct {
	Words           string
	Title, Desc     string
	ViewBox         string
	Areas           []string // ground under the line
	Lines           []string
	Gaps            []string
	Steep           string // the steepest stretch as part of the line
	Across, Up      []DrawnTick
	UnitX, UnitY    string
	Highest, Lowest *DrawnLabel
	Turn            string // where the way back begins, "" for none
	MarkRows        []DrawnRow
	Keys            []DrawnKey // points
	Signs           []DrawnKey // what the strokes mean
	Scale           string     // how much heights are stretched
}

// DrawnTick is one stroke of an axis. At is a share of its length.
type DrawnTick struct{ At, Label, Anchor string }

// DrawnLabel is a word beside a place of a drawing.
type DrawnLabel struct{ X, Y, Text, Anchor, Shift string }

// House judgement: a low wide frame, as walks are, with room for words above the highest
// and under the lowest place.
const (
	profileWidth  = 1000.0
	profileHeight = 480.0
	profileRoom   = 0.22
	// House judgement: flat ground must not look like hills. Stretched more than this, a
	// grade of 2 % would be drawn as steep as a stair.
	mostStretched = 25
)

// NewProfileDrawing draws the whole walk, the way back mirrored.
func NewProfileDrawing(p track.Profile, points []DrawnPoint, sys format.System) ProfileDrawing {
	if !p.HasElevation || len(p.Samples) < 2 || !(p.Length > 0) {
		return ProfileDrawing{Words: "The track has no heights that can be trusted, so climb and slopes are not known."}
	}
	points = alongTheWay(points)
	c := newSection(p)
	d := ProfileDrawing{
		Title: "Elevation along the walk", Desc: c.describe(sys),
		ViewBox: "0 0 " + coordinate(profileWidth) + " " + coordinate(profileHeight),
		Scale:   c.stretchWords(),
	}
	d.draw(c)
	d.measure(c, sys)
	d.MarkRows = c.rows(points)
	d.Keys = pointKeys(points, sys)
	d.Signs = c.signs(sys)
	return d
}

// section is the cut through the ground along one walk.
type section struct {
	profile        track.Profile
	bottom         unit.Length // elevation at the lower edge
	perMetreAcross float64
	perMetreUp     float64
	whole          []track.Sample // the walk there and back
}

func newSection(p track.Profile) section {
	c := section{profile: p, perMetreAcross: profileWidth / p.Length.Metres(), whole: thereAndBack(p)}
	relief := max((p.Highest-p.Lowest).Metres(), 1) / (1 - 2*profileRoom)
	least := profileHeight / (mostStretched * c.perMetreAcross)
	shown := max(relief, least)
	c.perMetreUp = profileHeight / shown
	c.bottom = (p.Highest+p.Lowest)/2 - unit.Length(shown/2)
	return c
}

// thereAndBack mirrors the recorded direction where the walk comes back the same way.
func thereAndBack(p track.Profile) []track.Sample {
	whole := append([]track.Sample(nil), p.Samples...)
	if p.Shape != track.OutAndBack {
		return whole
	}
	last := len(p.Samples) - 1
	for i := last - 1; i >= 0; i-- {
		back := p.Samples[i]
		back.Along = p.Length - back.Along
		back.Gap = p.Samples[i+1].Gap
		whole = append(whole, back)
	}
	return whole
}

func (c section) x(along unit.Length) float64 { return along.Metres() * c.perMetreAcross }

func (c section) y(height unit.Length) float64 {
	return profileHeight - (height-c.bottom).Metres()*c.perMetreUp
}

func (c section) shareX(along unit.Length) float64 { return c.x(along) / profileWidth }

func (c section) shareY(height unit.Length) string { return ui.PercentOf(c.y(height) / profileHeight) }

func (c section) spot(s track.Sample) spot { return spot{c.x(s.Along), c.y(s.Elevation)} }

// draw lays out the ground: one line and one area for each unbroken stretch.
func (d *ProfileDrawing) draw(c section) {
	var runs [][]spot
	for i, s := range c.whole {
		at := c.spot(s)
		if i == 0 || s.Gap {
			runs = append(runs, nil)
		}
		last := len(runs) - 1
		if s.Gap {
			before := runs[last-1]
			d.Gaps = append(d.Gaps, pointsOf([]spot{before[len(before)-1], at}))
		}
		runs[last] = append(runs[last], at)
	}
	for _, run := range simplified(runs, mostPoints) {
		d.Lines = append(d.Lines, pointsOf(run))
		first, last := run[0], run[len(run)-1]
		d.Areas = append(d.Areas,
			pointsOf(append([]spot{{first.x, profileHeight}}, append(run, spot{last.x, profileHeight})...)))
	}
	d.Steep = pointsOf(c.steepest())
	if c.profile.Shape == track.OutAndBack {
		d.Turn = ui.PercentOf(c.shareX(c.profile.Far()))
	}
}

// steepest is the part of the line between the ends of the steepest stretch.
func (c section) steepest() []spot {
	p := c.profile
	if p.SteepestTo <= p.SteepestFrom || p.Steepest == 0 {
		return nil
	}
	line := []spot{c.spot(p.SampleAt(p.SteepestFrom))}
	for _, s := range p.Samples {
		if s.Along > p.SteepestFrom && s.Along < p.SteepestTo {
			line = append(line, c.spot(s))
		}
	}
	return simplified([][]spot{append(line, c.spot(p.SampleAt(p.SteepestTo)))}, mostPoints/10)[0]
}

// measure rules the axes and names the highest and the lowest place.
func (d *ProfileDrawing) measure(c section, sys format.System) {
	distance, height := unit.Kilometre, unit.Metre
	d.UnitX, d.UnitY = "km", "m"
	if sys == format.US {
		distance, height = unit.Mile, unit.Foot
		d.UnitX, d.UnitY = "mi", "ft"
	}
	// House judgement: six labels across and five up stand apart on a phone.
	length := float64(c.profile.Length / distance)
	for _, v := range roundTicks(0, length, 6) {
		at := c.shareX(unit.Length(v.value) * distance)
		t := ui.Tick(at, v.label)
		d.Across = append(d.Across, DrawnTick(t))
	}
	low := float64(c.bottom / height)
	shown := profileHeight / c.perMetreUp / float64(height)
	for _, v := range roundTicks(low+0.05*shown, low+0.92*shown, 5) {
		d.Up = append(d.Up, DrawnTick{At: c.shareY(unit.Length(v.value) * height), Label: v.label, Anchor: "end"})
	}
	d.Highest = c.label(c.extreme(1), c.profile.Highest, sys)
	if c.profile.Highest-c.profile.Lowest >= 1*unit.Metre {
		d.Lowest = c.label(c.extreme(-1), c.profile.Lowest, sys)
	}
}

// roundTick is a round number of an axis.
type roundTick struct {
	value float64
	label string
}

func roundTicks(from, to float64, most int) []roundTick {
	if !(to > from) {
		return nil
	}
	step := fewSteps(to-from, most)
	decimals := stepDecimals(step)
	var ticks []roundTick
	for n := math.Ceil(from/step - 1e-9); n*step <= to+step*1e-9; n++ {
		ticks = append(ticks, roundTick{n * step, strconv.FormatFloat(n*step+0, 'f', decimals, 64)})
	}
	return ticks
}

// extreme is the first of the highest (sign 1) or lowest (sign -1) places on the walk.
func (c section) extreme(sign unit.Length) track.Sample {
	best := c.whole[0]
	for _, s := range c.whole {
		if sign*s.Elevation > sign*best.Elevation {
			best = s
		}
	}
	return best
}

func (c section) label(at track.Sample, height unit.Length, sys format.System) *DrawnLabel {
	share := c.shareX(at.Along)
	l := DrawnLabel{X: ui.PercentOf(share), Y: c.shareY(at.Elevation), Text: format.Height(height, sys),
		Anchor: "middle", Shift: "0"}
	switch {
	case share < 0.12:
		l.Anchor, l.Shift = "start", "7"
	case share > 0.88:
		l.Anchor, l.Shift = "end", "-7"
	}
	return &l
}

func (c section) rows(points []DrawnPoint) []DrawnRow {
	marks, shares := make([]DrawnMark, len(points)), make([]float64, len(points))
	for i, p := range points {
		marks[i] = DrawnMark{Number: strconv.Itoa(i + 1), Form: formOf(p.Kind)}
		shares[i] = max(0, min(1, c.shareX(p.Along)))
	}
	return inRows(marks, shares)
}

func (c section) signs(sys format.System) []DrawnKey {
	p := c.profile
	gaps := 0
	for _, s := range p.Samples {
		if s.Gap {
			gaps++
		}
	}
	keys := []DrawnKey{{Symbol: "extreme", Text: "highest " + unbroken(format.Height(p.Highest, sys)) + ", lowest " +
		unbroken(format.Height(p.Lowest, sys))}}
	if c.steepest() != nil {
		keys = append(keys, DrawnKey{Symbol: "steepest", Text: c.steepWords(sys)})
	}
	if gaps > 0 {
		keys = append(keys, DrawnKey{Symbol: "gap", Text: "not recorded: " + format.Count(gaps, "gap", "gaps")})
	}
	return keys
}

func (c section) steepWords(sys format.System) string {
	p := c.profile
	way := "up"
	if p.Steepest < 0 {
		way = "down"
	}
	return fmt.Sprintf("steepest %s: %s %s at %s", unbroken(format.ShortLength(p.SteepestTo-p.SteepestFrom, sys)),
		way, unbroken(format.Slope(unit.Slope(math.Abs(float64(p.Steepest))))),
		unbroken(format.Length(p.SteepestFrom, sys)))
}

// stretchWords says how the two scales differ, to two figures: one cannot see it.
func (c section) stretchWords() string {
	times := c.perMetreUp / c.perMetreAcross
	switch {
	case times >= 9.5:
		return fmt.Sprintf("Heights are drawn %.0f times larger than distances: slopes look steeper than they are.",
			times)
	case times >= 1.05:
		return fmt.Sprintf("Heights are drawn %.1f times larger than distances: slopes look steeper than they are.",
			times)
	case times <= 0.95:
		return fmt.Sprintf("Heights are drawn at %.2f of the scale of distances: slopes look gentler than they are.",
			times)
	}
	return "Heights and distances are drawn to one scale: slopes look as they are."
}

func (c section) describe(sys format.System) string {
	p := c.profile
	text := fmt.Sprintf("%s, %s in all. From %s at the start, between %s and %s, up %s and down %s in all.",
		shapeWords(p.Shape), format.Length(p.Length, sys), format.Height(p.Samples[0].Elevation, sys),
		format.Height(p.Lowest, sys), format.Height(p.Highest, sys), format.Height(p.Ascent, sys),
		format.Height(p.Descent, sys))
	return text + " " + c.stretchWords()
}
