package chart

import (
	"fmt"
	"math"

	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// MapDrawing is the line of a walk on plain squared paper: ready coordinates and words.
// North is up, and both axes have the same scale. Words is all that is shown where there
// is no line to draw.
type MapDrawing struct {
	Words       string
	Title, Desc string
	ViewBox     string
	Width       string // of the paper, in units of the viewBox
	Height      string
	Columns     []string // where the squares are ruled
	Rows        []string
	Lines       []string // points of the recorded stretches
	Gaps        []string
	Arrows      []MapArrow
	Start, End  *DrawnMark
	Marks       []DrawnMark
	Scale       MapScale
	Keys        []DrawnKey // points
	Signs       []DrawnKey // what the strokes mean
}

// MapArrow is the way on: a place and a turn clockwise from east in degrees.
type MapArrow struct{ X, Y, Turn string }

// MapScale is the bar under the map. Width is a share of the map's width.
type MapScale struct{ Width, Half, Label string }

// House judgement: the paper is 600 units wide, twice the pixels that it has on a phone of
// 360 px, with a margin that leaves room for a mark outside the line.
const (
	mapWidth  = 600.0
	mapMargin = 58.0
	// Height as a share of the width, between a landscape card and an upright page.
	mapFlattest = 0.62
	mapTallest  = 1.1
	// A walk shorter than this is drawn as small as it is.
	mapLeastSpan = 200 * unit.Metre
)

// NewMapDrawing draws the recorded line with the points in the order of their distance.
func NewMapDrawing(p track.Profile, points []DrawnPoint, sys format.System) MapDrawing {
	if len(p.Samples) < 2 {
		return MapDrawing{Words: "There is no recorded line to draw."}
	}
	points = alongTheWay(points)
	s := newSheet(p)
	d := MapDrawing{
		Title: "Map of the line walked", Desc: s.describe(len(points), sys),
		ViewBox: "0 0 " + coordinate(mapWidth) + " " + coordinate(s.height),
		Width:   coordinate(mapWidth), Height: coordinate(s.height),
	}
	runs, gaps := s.runs()
	for _, r := range simplified(runs, mostPoints) {
		d.Lines = append(d.Lines, pointsOf(r))
	}
	for _, g := range gaps {
		d.Gaps = append(d.Gaps, pointsOf(g))
	}
	square := s.square(sys)
	d.rule(s, square)
	arrows := s.arrows(sys)
	d.Arrows = arrows.drawn
	d.mark(s, points, runs, gaps)
	d.Keys = pointKeys(points, sys)
	d.Signs = s.signs(square, arrows, len(gaps))
	return d
}

// sheet is the projection of one walk onto the paper.
type sheet struct {
	profile        track.Profile
	middle         unit.Position
	perLat, perLon float64 // units of the paper per radian
	perMetre       float64
	height         float64
}

// newSheet lays the walk in the middle of the paper. Scales are the ellipsoid's at the
// middle of the walk: a plane is exact enough for a day's walk.
func newSheet(p track.Profile) sheet {
	s := sheet{profile: p, middle: p.Samples[0].At, perLat: 1, perLon: 1}
	low, high := s.bounds()
	s.middle = s.place(spot{(low.x + high.x) / 2, (low.y + high.y) / 2})
	metresPerLat, metresPerLon := localScale(s.middle)
	wide := max((high.x-low.x)*metresPerLon, 0)
	tall := max((high.y-low.y)*metresPerLat, 0)
	wide, tall = max(wide, mapLeastSpan.Metres()), max(tall, 1)
	room := mapWidth - 2*mapMargin
	s.height = min(max(tall*room/wide+2*mapMargin, mapFlattest*mapWidth), mapTallest*mapWidth)
	s.perMetre = min(room/wide, (s.height-2*mapMargin)/tall)
	s.perLat, s.perLon = s.perMetre*metresPerLat, s.perMetre*metresPerLon
	return s
}

// bounds are in radians about the middle, x east and y north, also across the date line.
func (s sheet) bounds() (low, high spot) {
	for _, sample := range s.profile.Samples {
		east, north := s.offset(sample.At)
		low = spot{min(low.x, east), min(low.y, north)}
		high = spot{max(high.x, east), max(high.y, north)}
	}
	return low, high
}

func (s sheet) offset(at unit.Position) (east, north float64) {
	east = math.Remainder(at.Lon.Radians()-s.middle.Lon.Radians(), 2*math.Pi)
	return east, at.Lat.Radians() - s.middle.Lat.Radians()
}

func (s sheet) place(offset spot) unit.Position {
	return unit.Position{
		Lat: s.middle.Lat + unit.Angle(offset.y),
		Lon: unit.Angle(math.Remainder(s.middle.Lon.Radians()+offset.x, 2*math.Pi)),
	}
}

// localScale measures metres per radian on the ellipsoid around a place.
func localScale(at unit.Position) (perLat, perLon float64) {
	const step = 1e-4 // radians, some 600 m
	measure := func(dLat, dLon unit.Angle) float64 {
		a := unit.Position{Lat: at.Lat - dLat/2, Lon: at.Lon - dLon/2}
		b := unit.Position{Lat: at.Lat + dLat/2, Lon: at.Lon + dLon/2}
		return a.DistanceTo(b).Metres() / step
	}
	return measure(step, 0), measure(0, step)
}

func (s sheet) spot(at unit.Position) spot {
	east, north := s.offset(at)
	return spot{mapWidth/2 + east*s.perLon, s.height/2 - north*s.perLat}
}

func (s sheet) along(d unit.Length) spot { return s.spot(s.profile.SampleAt(d).At) }

// runs are the unbroken stretches, and the gaps between them.
func (s sheet) runs() (runs, gaps [][]spot) {
	for i, sample := range s.profile.Samples {
		at := s.spot(sample.At)
		if i == 0 || sample.Gap {
			runs = append(runs, nil)
		}
		if sample.Gap {
			before := runs[len(runs)-2]
			gaps = append(gaps, []spot{before[len(before)-1], at})
		}
		last := len(runs) - 1
		runs[last] = append(runs[last], at)
	}
	return runs, gaps
}

// square is the side of the paper's squares: a round length, also that of the scale bar.
type square struct {
	side  float64
	label string
}

// square is the longest round length that is not too wide a bar.
func (s sheet) square(sys format.System) square {
	// House judgement: a square of a sixth to two fifths of the width can be counted.
	widest := 0.4 * mapWidth / s.perMetre
	metres, label := roundLength(unit.Length(widest), sys)
	return square{metres.Metres() * s.perMetre, label}
}

// roundLength is the longest round length within a limit, as a scale bar names it: miles
// down to half a mile and feet below.
func roundLength(limit unit.Length, sys format.System) (unit.Length, string) {
	switch {
	case sys != format.US && limit >= unit.Kilometre:
		km := roundStep(limit.Kilometres())
		return unit.Length(km) * unit.Kilometre, fmt.Sprintf("%g km", km)
	case sys != format.US:
		m := roundStep(limit.Metres())
		return unit.Length(m), fmt.Sprintf("%g m", m)
	case limit >= unit.Mile:
		mi := roundStep(limit.Miles())
		return unit.Length(mi) * unit.Mile, fmt.Sprintf("%g mi", mi)
	case limit >= unit.Mile/2:
		return unit.Mile / 2, "0.5 mi"
	}
	ft := roundStep(limit.Feet())
	return unit.Length(ft) * unit.Foot, fmt.Sprintf("%g ft", ft)
}

// rule draws the squares from the lower left corner, where the scale bar begins.
func (d *MapDrawing) rule(s sheet, q square) {
	for x := q.side; x < mapWidth; x += q.side {
		d.Columns = append(d.Columns, coordinate(x))
	}
	for y := s.height - q.side; y > 0; y -= q.side {
		d.Rows = append(d.Rows, coordinate(y))
	}
	d.Scale = MapScale{Width: ui.PercentOf(q.side / mapWidth), Half: ui.PercentOf(q.side / 2 / mapWidth),
		Label: q.label}
}

// wayOn are the arrows and how far they stand apart.
type wayOn struct {
	drawn []MapArrow
	every string
}

func (s sheet) arrows(sys format.System) wayOn {
	far := s.profile.Far()
	// House judgement: four to ten arrows show the way without crowding the line.
	step, label := roundLength(far/4, sys)
	w := wayOn{every: label}
	for d := step; d < far-step/8; d += step {
		before, at, after := s.along(d-step/20), s.along(d), s.along(d+step/20)
		if before.to(after) == 0 {
			continue
		}
		turn := math.Atan2(after.y-before.y, after.x-before.x) * 180 / math.Pi
		w.drawn = append(w.drawn, MapArrow{s.x(at), s.y(at), fmt.Sprintf("rotate(%.0f)", turn)})
	}
	return w
}

func (s sheet) x(at spot) string { return ui.PercentOf(at.x / mapWidth) }
func (s sheet) y(at spot) string { return ui.PercentOf(at.y / s.height) }
