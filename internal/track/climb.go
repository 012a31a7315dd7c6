package track

import "saltbush/internal/unit"

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
