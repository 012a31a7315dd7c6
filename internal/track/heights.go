package track

import (
	"math"

	"saltbush/internal/unit"
)

// fillHeights draws missing heights as straight lines between the known ones along the
// whole walk, level before the first and after the last, then smooths each run. It
// reports whether the heights are good enough to speak of a climb; if not, all are zero.
//
// Our judgment: a walk with one stretch of more than half its length without heights
// has no known climb.
func fillHeights(lines []line, c *counts) bool {
	var f filler
	for _, l := range lines {
		for i, h := range l.height {
			f.next(l.along[i], h, &l.height[i])
		}
		f.start += l.along[len(l.along)-1]
	}
	f.finish()
	c.stretch = unit.Length(f.longest)
	known := f.seen && f.longest <= f.start/2
	for i, l := range lines {
		if !known {
			clear(l.height)
			continue
		}
		lines[i].height = localLine(l.along, heightWindow, l.height)[0]
	}
	return known
}

// filler walks along heights and fills the unknown ones once the next known one is met.
type filler struct {
	start     float64 // where the current run starts on the whole walk
	seen      bool    // a height is known behind us
	from      float64 // where
	height    float64
	waiting   []waiting
	longest   float64 // longest way without heights
	lastAlong float64
}

type waiting struct {
	along float64
	into  *float64
}

func (f *filler) next(along, height float64, into *float64) {
	along += f.start
	f.lastAlong = along
	if math.IsNaN(height) {
		f.waiting = append(f.waiting, waiting{along, into})
		return
	}
	f.fill(along, height)
	f.seen, f.from, f.height = true, along, height
}

// fill draws the line from the last known height to this one.
func (f *filler) fill(along, height float64) {
	if len(f.waiting) > 0 {
		f.longest = max(f.longest, along-f.from)
	}
	for _, w := range f.waiting {
		*w.into = height
		if f.seen && along > f.from {
			*w.into = f.height + (height-f.height)*(w.along-f.from)/(along-f.from)
		}
	}
	f.waiting = f.waiting[:0]
}

// finish keeps the last known height to the end; with none at all, zero.
func (f *filler) finish() { f.fill(f.lastAlong, f.height) }

// climb sums the rises and the falls between turning points of a line of heights. A
// turning point counts once the line has come back from it by step, so wiggles below step
// count for nothing and a long gentle ramp counts whole. With a step of zero every rise
// counts: the naive sum, which noise inflates without bound.
func climb(heights []float64, step unit.Length) (up, down unit.Length) {
	var t turns
	for i, h := range heights {
		if i == 0 {
			t.low, t.high = h, h
		}
		t.next(h, step.Metres())
	}
	return unit.Length(t.up + t.rise()), unit.Length(t.down + t.fall())
}

// turns follows a line of heights. While rising, low is the turning point it came from
// and high the highest since; while falling, the reverse; before that, both extremes.
type turns struct {
	rising, falling bool
	low, high       float64
	up, down        float64
}

func (t turns) rise() float64 {
	if t.rising {
		return t.high - t.low
	}
	return 0
}

func (t turns) fall() float64 {
	if t.falling {
		return t.high - t.low
	}
	return 0
}

func (t *turns) next(h, step float64) {
	turnedDown := t.high-h >= step && h < t.high
	turnedUp := h-t.low >= step && h > t.low
	switch {
	case !t.falling && turnedDown:
		t.up += t.rise()
		t.rising, t.falling, t.low = false, true, h
	case !t.rising && turnedUp:
		t.down += t.fall()
		t.rising, t.falling, t.high = true, false, h
	case !t.falling && h > t.high:
		t.high = h
	case !t.rising && h < t.low:
		t.low = h
	}
}
