package track

import (
	"errors"
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Sample is one place of the cleaned line. Gap says that the stretch before it was not
// recorded: it has the same Along as the sample before, but lies elsewhere.
type Sample struct {
	Along     unit.Length
	At        unit.Position
	Elevation unit.Length
	Gap       bool
}

// Profile is a walk as planning needs it. Samples are the recorded direction only,
// thinned evenly; the other figures are of the whole walk, the way back included. Gaps
// between recordings add neither length nor climb.
type Profile struct {
	Shape        Shape
	HasElevation bool
	Samples      []Sample

	Length, Ascent, Descent, Lowest, Highest unit.Length

	// Steepest is the slope of the steepest 100 m as walked on the way out: negative
	// where it falls. It is zero when no unbroken stretch is that long.
	Steepest                 unit.Slope
	SteepestFrom, SteepestTo unit.Length

	// Notes says what cleaning did, in plain English, for people.
	Notes []string
}

// Source is where the figures of a profile come from, as a plan explains them.
const Source = "the recording, cleaned; settings with their reasons stand in the track package"

// errTooShort is returned for a recording that never leaves its first place.
var errTooShort = errors.New("the track holds no two different points")

// NewProfile cleans a recording. It refuses a recording with a point off the globe, or
// without two different points.
func NewProfile(rec Recording, shape Shape) (Profile, error) {
	if _, err := ParseShape(string(shape)); err != nil {
		return Profile{}, err
	}
	if err := onTheGlobe(rec); err != nil {
		return Profile{}, err
	}
	var c counts
	var lines []line
	for _, run := range runs(rec, &c) {
		lines = append(lines, smoothed(run))
	}
	known := fillHeights(lines, &c)
	p := Profile{Shape: shape, HasElevation: known, Samples: samples(lines)}
	if p.oneWay() == 0 {
		return Profile{}, errTooShort
	}
	p.summarize(lines)
	p.Notes = append(append(p.Notes, rec.Notes...), c.notes(p)...)
	return p, nil
}

func onTheGlobe(rec Recording) error {
	for i, s := range rec.Segments {
		for j, fix := range s {
			if !fix.At.Valid() {
				return fmt.Errorf("point %d of segment %d is off the globe", j+1, i+1)
			}
		}
	}
	return nil
}

// oneWay is the length of the recorded direction.
func (p Profile) oneWay() unit.Length {
	if len(p.Samples) == 0 {
		return 0
	}
	return p.Samples[len(p.Samples)-1].Along
}

// summarize fills the figures of the whole walk.
func (p *Profile) summarize(lines []line) {
	p.Length = p.oneWay()
	for _, l := range lines {
		up, down := climb(l.height, heightStep)
		p.Ascent += centimeter(up.Metres())
		p.Descent += centimeter(down.Metres())
	}
	p.Lowest, p.Highest = p.Samples[0].Elevation, p.Samples[0].Elevation
	for _, l := range lines {
		for _, h := range l.height {
			p.Lowest = min(p.Lowest, centimeter(h))
			p.Highest = max(p.Highest, centimeter(h))
		}
	}
	if p.Shape == OutAndBack {
		p.Length *= 2
		both := p.Ascent + p.Descent
		p.Ascent, p.Descent = both, both
	}
	p.findSteepest()
}

// samples thins the lines evenly and lays them end to end, so that Along grows from each
// sample to the next, except over a gap. The ends of a line stay.
func samples(lines []line) []Sample {
	total := 0.0
	for _, l := range lines {
		total += l.along[len(l.along)-1]
	}
	step := total / maxSamples
	var out []Sample
	start := 0.0
	for _, l := range lines {
		last := len(l.along) - 1
		next := 0.0
		for i, along := range l.along {
			if along < next && i != last {
				continue
			}
			next = along + step
			s := l.sample(i, start)
			s.Gap = i == 0 && len(out) > 0
			if i == 0 || s.Along > out[len(out)-1].Along {
				out = append(out, s)
			}
		}
		start += l.along[last]
	}
	return out
}

// sample rounds to what storage keeps, so that a stored profile equals the fresh one.
func (l line) sample(i int, start float64) Sample {
	return Sample{
		Along:     centimeter(start + l.along[i]),
		At:        stored(l.at(i)),
		Elevation: centimeter(l.height[i]),
	}
}

func centimeter(metres float64) unit.Length {
	return unit.Length(math.Round(metres*100) / 100)
}

// stored rounds a position to 1e-7 degrees, about a centimeter.
func stored(p unit.Position) unit.Position {
	return fromTicks(ticks(p.Lat), ticks(p.Lon))
}

const ticksPerDegree = 1e7

func ticks(a unit.Angle) int64 { return int64(math.Round(a.Degrees() * ticksPerDegree)) }

func fromTicks(lat, lon int64) unit.Position {
	return unit.At(float64(lat)/ticksPerDegree, float64(lon)/ticksPerDegree)
}

// Shape says how a walk uses its recorded line.
type Shape string

// Shapes of a walk. OneWay and Loop are walked as recorded; OutAndBack is walked to the
// end of the recording and back the same way.
const (
	OneWay     Shape = "one-way"
	OutAndBack Shape = "out-and-back"
	Loop       Shape = "loop"
)

// ParseShape reads a shape by its name.
func ParseShape(s string) (Shape, error) {
	switch shape := Shape(s); shape {
	case OneWay, OutAndBack, Loop:
		return shape, nil
	}
	return "", fmt.Errorf("%q is not a shape of walk: write one-way, out-and-back or loop", s)
}
