package chart

import (
	"math"
	"strconv"

	"saltbush/internal/format"
	"saltbush/internal/track"
)

// mark places the numbers beside the line, on the side that has room.
func (d *MapDrawing) mark(s sheet, points []DrawnPoint, lines ...[][]spot) {
	start, end := s.along(0), s.along(s.profile.Far())
	d.Start = &DrawnMark{AtX: s.x(start), AtY: s.y(start)}
	b := board{height: s.height, ends: []spot{start}}
	if s.hasEnd() {
		d.End = &DrawnMark{AtX: s.x(end), AtY: s.y(end)}
		b.ends = append(b.ends, end)
	}
	for _, l := range lines {
		b.lines = append(b.lines, simplified(l, mostPoints/4)...)
	}
	for i, p := range points {
		of := s.along(p.Along)
		at, ok := b.room(of)
		if !ok {
			continue // it is still in the legend
		}
		b.taken = append(b.taken, at)
		d.Marks = append(d.Marks, DrawnMark{
			Number: strconv.Itoa(i + 1), Form: formOf(p.Kind),
			AtX: s.x(at), AtY: s.y(at), OfX: s.x(of), OfY: s.y(of),
		})
	}
}

// hasEnd reports whether the walk ends at another place than its start.
func (s sheet) hasEnd() bool {
	return s.profile.Shape != track.Loop && s.along(0).to(s.along(s.profile.Far())) > markApart/2
}

// Sizes of marks in units of the paper where it is narrowest, two units to a pixel. On a wider page
// marks keep their pixels and the space between them grows.
const (
	markReach = 26.0 // from the center to the next thing
	markApart = 50.0
	markNear  = 44.0 // first distance from the marked place
	markStep  = 14.0
)

// board is what is drawn on the paper already.
type board struct {
	height float64
	lines  [][]spot
	ends   []spot
	taken  []spot
}

// room returns the free position nearest to a place, clear of the line if there is one within
// reach, else clear of other marks.
func (b board) room(of spot) (spot, bool) {
	for _, margin := range []float64{markReach, 0} {
		// Our judgment: the eye still follows a pointer a quarter of the width long.
		reach := 0.25 * mapWidth
		if margin == 0 {
			reach = 2 * mapWidth
		}
		for r := markNear; r < reach; r += markStep {
			if at, ok := b.onRing(of, r, margin); ok {
				return at, true
			}
		}
	}
	return spot{}, false
}

// onRing tries the positions at one distance. The one farthest from the line wins.
func (b board) onRing(of spot, radius, margin float64) (best spot, found bool) {
	const tries = 24
	widest := -1.0
	for i := range tries {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/tries - math.Pi/4)
		at := spot{of.x + radius*cos, of.y + radius*sin}
		if !b.free(at) {
			continue
		}
		if off := min(b.offLines(at), 2*markApart); off >= margin && off > widest {
			best, widest, found = at, off, true
		}
	}
	return best, found
}

func (b board) free(at spot) bool {
	if at.x < markReach || at.x > mapWidth-markReach || at.y < markReach || at.y > b.height-markReach {
		return false
	}
	for _, t := range b.taken {
		if t.to(at) < markApart {
			return false
		}
	}
	for _, e := range b.ends {
		if e.to(at) < markNear-1 {
			return false
		}
	}
	return true
}

func (b board) offLines(at spot) float64 {
	off := math.Inf(1)
	for _, line := range b.lines {
		for i := range line {
			off = min(off, offChord(at, line[max(i-1, 0)], line[i]))
		}
	}
	return off
}

// signs is the legend of the strokes of the map.
func (s sheet) signs(q square, w wayOn, gaps int) []DrawnKey {
	keys := []DrawnKey{{Symbol: "start", Text: s.startWords()}}
	if s.hasEnd() {
		keys = append(keys, DrawnKey{Symbol: "end", Text: s.endWords()})
	}
	if len(w.drawn) > 0 {
		way := ""
		if s.profile.Shape == track.OutAndBack {
			way = " on the way out"
		}
		keys = append(keys, DrawnKey{Symbol: "arrow", Text: "an arrow every " + unbroken(w.every) + way})
	}
	if gaps > 0 {
		keys = append(keys, DrawnKey{Symbol: "gap", Text: "not recorded: " + format.Count(gaps, "gap", "gaps")})
	}
	return append(keys, DrawnKey{Symbol: "square", Text: "a square is " + unbroken(q.label) + " wide"})
}

func (s sheet) startWords() string {
	if s.profile.Shape == track.OneWay {
		return "start"
	}
	return "start and finish"
}

func (s sheet) endWords() string {
	if s.profile.Shape == track.OneWay {
		return "finish"
	}
	return "far point, then back the same way"
}

// describe describes the drawing in words.
func (s sheet) describe(points int, sys format.System) string {
	p := s.profile
	text := shapeWords(p.Shape) + ", " + format.Length(p.Length, sys) + " in all."
	if s.hasEnd() {
		start, end := s.profile.SampleAt(0).At, s.profile.SampleAt(p.Far()).At
		text += " The far end lies " + format.Length(start.DistanceTo(end), sys) + " " +
			compass(s.spot(start), s.spot(end)) + " of the start."
	}
	if points > 0 {
		text += " " + format.Count(points, "point is", "points are") + " numbered and listed below."
	}
	return text
}

func shapeWords(shape track.Shape) string {
	switch shape {
	case track.OutAndBack:
		return "Out and back on the same line"
	case track.Loop:
		return "A loop"
	}
	return "One way"
}

// compass names the direction from a to b by the nearest of eight.
func compass(a, b spot) string {
	names := []string{"east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east"}
	eighths := int(math.Round(math.Atan2(a.y-b.y, b.x-a.x) / (math.Pi / 4)))
	return names[(eighths+len(names))%len(names)]
}
