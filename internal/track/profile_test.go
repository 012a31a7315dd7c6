package track_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

func TestLengthOfKnownLines(t *testing.T) {
	zigzag := func() (out []track.Fix) { // Fixes every meter, 1 m left and right in turn.
		for i := range 1001 {
			out = append(out, fix(float64(i%2*2-1), float64(i), 500))
		}
		return out
	}()
	corner := []track.Fix{fix(0, 0, 0), fix(0, 50, 0), fix(0, 100, 0), fix(50, 100, 0), fix(100, 100, 0)}
	r := rand.New(rand.NewPCG(5, 5))
	rest := straight(250, 2, level)
	for range 600 { // Ten minutes of rest with 3 m of noise.
		rest = append(rest, fix(r.NormFloat64()*3, 500+r.NormFloat64()*3, 500))
	}
	for i := range 250 {
		rest = append(rest, fix(0, 502+float64(i)*2, 500))
	}
	tests := []struct {
		name            string
		fixes           []track.Fix
		want, tolerance float64
	}{
		{"straight, every metre", straight(1000, 1, level), 1000, 2},
		{"straight, every 7 m", straight(150, 7, level), 1050, 2},
		{"straight, every 30 m", straight(40, 30, level), 1200, 2},
		{"two points", straight(1, 3000, level), 3000, 6},
		// Measured naively, sqrt(5) km.
		{"1 km of zigzag around the way", zigzag, 1000, 10},
		{"a drawn route keeps its corner", corner, 200, 0.5},
		{"a rest in the middle adds nothing", rest, 1000, 10},
		{"a fix repeated a hundred times", append(straight(10, 30, level), make100(fix(0, 300, 500))...), 300, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := profile(t, recorded(tt.fixes), track.OneWay)
			near(t, "length", p.Length.Metres(), tt.want, tt.tolerance)
		})
	}
}

func make100(f track.Fix) (out []track.Fix) {
	for range 100 {
		out = append(out, f)
	}
	return out
}

func TestSpikes(t *testing.T) {
	start := time.Date(2026, 3, 1, 7, 0, 0, 0, time.UTC)
	timed := func(fixes []track.Fix, every time.Duration) []track.Fix {
		out := append([]track.Fix(nil), fixes...)
		for i := range out {
			out[i].Time = start.Add(time.Duration(i) * every)
		}
		return out
	}
	out := func(n, from int) []track.Fix { // n fixes of a 1 km walk lie 2 km to the east
		fixes := straight(100, 10, level)
		for i := range n {
			fixes[from+i] = fix(2000+float64(i), fixesNorth(from+i), 500)
		}
		return fixes
	}
	tests := []struct {
		name            string
		fixes           []track.Fix
		want, tolerance float64
		note            string
	}{
		{"one fix, no times", out(1, 50), 1000, 5, "1 point lay an impossible jump"},
		{"five fixes, no times", out(5, 50), 1000, 5, "5 points lay an impossible jump"},
		{"three fixes, with times", timed(out(3, 50), 10*time.Second), 1000, 5, "3 points lay an impossible jump"},
		{"cold start, with times", timed(out(2, 0), 10*time.Second), 980, 5, "2 points lay an impossible jump"},
		{"start far away, no times", out(2, 0), 2991, 5, // 10 + 2001 + 980 m
			"1 step of more than 500 m"},
		{"slow enough to be true", timed(out(1, 50), 10*time.Minute), 4980, 50, "2 steps of more than 500 m"},
		// 490 + 2000 + 191 + 2019 + 300 m
		{"too many to be a spike", out(20, 50), 5000, 10, "2 steps of more than 500 m"},
		{"turning point of a drawn route", []track.Fix{fix(0, 0, 0), fix(0, 900, 0), fix(5, 0, 0)}, 1800, 5,
			"2 steps of more than 500 m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := profile(t, recorded(tt.fixes), track.OneWay)
			near(t, "length", p.Length.Metres(), tt.want, tt.tolerance)
			if !noted(p, tt.note) {
				t.Errorf("notes %q do not say %q", p.Notes, tt.note)
			}
		})
	}
}

func fixesNorth(i int) float64 { return float64(i) * 10 }

func TestGapsAreNotWalked(t *testing.T) {
	first := straight(10, 50, func(x float64) float64 { return 500 + x/10 })
	second := []track.Fix{fix(0, 3000, 900), fix(0, 3050, 900), fix(0, 3500, 900)}
	p := profile(t, recorded(first, nil, second), track.OneWay)
	near(t, "length", p.Length.Metres(), 1000, 2)
	near(t, "ascent", p.Ascent.Metres(), 50, 0.1)
	if !noted(p, "1 gap between recordings, 2.5 km in a straight line") {
		t.Errorf("notes %q do not speak of the gap", p.Notes)
	}
	gaps := 0
	for i, s := range p.Samples {
		if s.Gap {
			gaps++
			near(t, "along over the gap", (s.Along - p.Samples[i-1].Along).Metres(), 0, 0)
		}
	}
	if gaps != 1 {
		t.Errorf("%d samples after a gap, want 1", gaps)
	}
	for _, leg := range p.Legs() {
		if leg.From < 499 && leg.To > 501 {
			t.Errorf("leg %v to %v crosses the gap at 500 m", leg.From, leg.To)
		}
	}
}

func TestPauseIsNoGap(t *testing.T) {
	all := straight(20, 9, level)
	p := profile(t, recorded(all[:10], all[11:]), track.OneWay) // 18 m apart
	near(t, "length", p.Length.Metres(), 180, 1)
	if len(p.Notes) != 0 {
		t.Errorf("notes %q, want none", p.Notes)
	}
}

func TestShapes(t *testing.T) {
	// Up 100, down 40, up 60: 160 up and 40 down one way.
	rec := recorded(straight(90, 20, func(x float64) float64 {
		switch {
		case x < 600:
			return 500 + x/6
		case x < 1200:
			return 600 - (x-600)/15
		}
		return 560 + (x-1200)/10
	}))
	tests := []struct {
		shape                   track.Shape
		length, ascent, descent float64
		far                     float64
	}{
		{track.OneWay, 1800, 160, 40, 1800},
		{track.Loop, 1800, 160, 40, 1800},
		{track.OutAndBack, 3600, 200, 200, 1800},
	}
	for _, tt := range tests {
		t.Run(string(tt.shape), func(t *testing.T) {
			p := profile(t, rec, tt.shape)
			near(t, "length", p.Length.Metres(), tt.length, 4)
			near(t, "ascent", p.Ascent.Metres(), tt.ascent, 8) // turning points lose 2 m each to smoothing
			near(t, "descent", p.Descent.Metres(), tt.descent, 8)
			near(t, "lowest", p.Lowest.Metres(), 500, 0.1)
			near(t, "highest", p.Highest.Metres(), 620, 0.1)
			near(t, "far", p.Far().Metres(), tt.far, 4)
		})
	}
}

func TestOddShapesAreNoted(t *testing.T) {
	there := straight(20, 50, level)
	andBack := append(append([]track.Fix(nil), there...), reversed(recorded(there)).Segments[0]...)
	tests := []struct {
		name  string
		fixes []track.Fix
		shape track.Shape
		note  string
	}{
		{"way back recorded, called out-and-back", andBack, track.OutAndBack, "counts twice"},
		{"open loop", there, track.Loop, "ends 1.0 km from its start"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if p := profile(t, recorded(tt.fixes), tt.shape); !noted(p, tt.note) {
				t.Errorf("notes %q do not say %q", p.Notes, tt.note)
			}
		})
	}
}

func TestHeights(t *testing.T) {
	ramp := func(x float64) float64 { return 500 + x/10 }
	with := func(change func(i int, f *track.Fix)) []track.Fix {
		fixes := straight(100, 10, ramp)
		for i := range fixes {
			change(i, &fixes[i])
		}
		return fixes
	}
	tests := []struct {
		name   string
		fixes  []track.Fix
		known  bool
		ascent float64
		note   string
	}{
		{"all there", with(func(int, *track.Fix) {}), true, 100, ""},
		{"none", with(func(_ int, f *track.Fix) { f.HasElevation = false }), false, 0, "no heights"},
		{"all zero is none", with(func(_ int, f *track.Fix) { f.Elevation = 0 }), false, 0, "no heights"},
		{"one in five", with(func(i int, f *track.Fix) { f.HasElevation = i%5 == 0 }), true, 100,
			"missing for 80 of 101 points"},
		{"a stretch in the middle", with(func(i int, f *track.Fix) { f.HasElevation = i < 30 || i > 60 }), true, 100,
			"stretch is 320 m"},
		{"a stretch of zeros", with(func(i int, f *track.Fix) {
			if i > 40 && i < 60 {
				f.Elevation = 0
			}
		}), true, 100, "missing for 19 of 101 points"},
		{"a mark for unknown", with(func(i int, f *track.Fix) {
			if i > 40 && i < 60 {
				f.Elevation = -9999
			}
		}), true, 100, "missing for 19 of 101 points"},
		{"the end unknown is held level", with(func(i int, f *track.Fix) { f.HasElevation = i <= 80 }), true, 80,
			"missing for 20"},
		{"more than half in one stretch", with(func(i int, f *track.Fix) { f.HasElevation = i < 40 }), false, 0,
			"too much to guess"},
		{"one bad reading", with(func(i int, f *track.Fix) {
			if i == 50 {
				f.Elevation += 500
			}
		}), true, 100, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := profile(t, recorded(tt.fixes), track.OneWay)
			near(t, "ascent", p.Ascent.Metres(), tt.ascent, 1)
			near(t, "descent", p.Descent.Metres(), 0, 0)
			if p.HasElevation != tt.known || !noted(p, tt.note) || (tt.note == "" && len(p.Notes) > 0) {
				t.Errorf("has elevation %v, notes %q; want %v and %q", p.HasElevation, p.Notes, tt.known, tt.note)
			}
		})
	}
}

func TestSteepest(t *testing.T) {
	bump := func(grade float64) func(float64) float64 { // 400 m at a grade after 1 km of level
		return func(x float64) float64 { return 500 + grade*math.Max(0, math.Min(x-1000, 400)) }
	}
	tests := []struct {
		name      string
		fixes     []track.Fix
		want      float64
		tolerance float64
	}{
		{"28 % up", straight(400, 6, bump(0.28)), 0.28, 0.001},
		{"28 % down, signed", straight(400, 6, bump(-0.28)), -0.28, 0.001},
		{"level", straight(400, 6, level), 0, 0},
		{"shorter than 100 m", straight(15, 6, func(x float64) float64 { return x }), 0, 0},
		{"100 m just reached by two points", straight(1, 101, func(x float64) float64 { return x / 10 }), 0.1, 0.001},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := profile(t, recorded(tt.fixes), track.OneWay)
			near(t, "steepest", float64(p.Steepest), tt.want, tt.tolerance)
			if tt.want != 0 {
				near(t, "its length", (p.SteepestTo - p.SteepestFrom).Metres(), 100, 0.01)
			}
		})
	}
}

func TestNewProfileRefuses(t *testing.T) {
	there := fix(0, 0, 500)
	tests := []struct {
		name  string
		rec   track.Recording
		shape track.Shape
		want  string
	}{
		{"no points", track.Recording{}, track.OneWay, "the track holds no two different points"},
		{"one place", recorded([]track.Fix{there, there}, []track.Fix{there}), track.Loop,
			"the track holds no two different points"},
		{"lone points with gaps", recorded([]track.Fix{there}, []track.Fix{fix(0, 900, 0)}), track.OneWay,
			"the track holds no two different points"},
		{"off the globe", recorded([]track.Fix{there, {At: unit.At(math.NaN(), 0)}}), track.OneWay,
			"point 2 of segment 1 is off the globe"},
		{"no shape", recorded(straight(2, 50, level)), "",
			`"" is not a shape of walk: write one-way, out-and-back or loop`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := track.NewProfile(tt.rec, tt.shape); err == nil || err.Error() != tt.want {
				t.Errorf("NewProfile: %v, want %q", err, tt.want)
			}
		})
	}
}
