package track

import (
	"math"
	"testing"

	"saltbush/internal/unit"
)

// A hill whose top is in the middle of the way: turning there walks up once and down once.
func TestTurned(t *testing.T) {
	p := Profile{Shape: OneWay, HasElevation: true, Length: 2000}
	for i := range 201 {
		along := unit.Length(10 * i)
		p.Samples = append(p.Samples, Sample{Along: along, At: unit.At(33+float64(i)*9e-5, -112),
			Elevation: 600 + min(along, 2000-along)/10})
	}
	top := p.Turned(1005)
	if top.Shape != OutAndBack || top.Length != 2010 || top.Far() != 1005 {
		t.Errorf("turned at 1005 m: %s of %.0f m, far point at %.0f m", top.Shape, top.Length.Metres(),
			top.Far().Metres())
	}
	if math.Abs(top.Ascent.Metres()-100) > 1 || top.Ascent != top.Descent || top.Highest != 700 || top.Lowest != 600 {
		t.Errorf("turned at the top: up %.1f, down %.1f, from %.0f to %.0f m; want 100, 100, 600, 700",
			top.Ascent.Metres(), top.Descent.Metres(), top.Lowest.Metres(), top.Highest.Metres())
	}
	if math.Abs(float64(top.Steepest)-0.1) > 0.001 {
		t.Errorf("steepest %.3f, want 0.1", float64(top.Steepest))
	}
	if got := top.Turned(500); got.Length != 1000 || math.Abs(got.Ascent.Metres()-50) > 0.5 {
		t.Errorf("turned twice: %.0f m, up %.1f m; want 1000, 50", got.Length.Metres(), got.Ascent.Metres())
	}
	for _, at := range []unit.Length{0, -5, 2000, 3000, unit.Length(math.NaN())} {
		if got := p.Turned(at); got.Length != p.Length || got.Shape != OneWay {
			t.Errorf("turned at %.0f m: %s of %.0f m, want the whole walk", at.Metres(), got.Shape, got.Length.Metres())
		}
	}
}

// A gap adds a position but no length; turning at its near side does not cross it.
func TestTurnedAtAGap(t *testing.T) {
	p := Profile{Shape: OneWay, Length: 200, Samples: []Sample{
		{Along: 0, At: unit.At(33, -112)}, {Along: 100, At: unit.At(33.001, -112)},
		{Along: 100, At: unit.At(33.01, -112), Gap: true}, {Along: 200, At: unit.At(33.011, -112)},
	}}
	if got := p.Turned(100); len(got.Samples) != 2 || got.Far() != 100 {
		t.Errorf("%d samples to %.0f m, want 2 to 100", len(got.Samples), got.Far().Metres())
	}
	if got := p.Turned(150); len(got.Samples) != 4 || !got.Samples[2].Gap {
		t.Errorf("%d samples, want 4 with the gap kept", len(got.Samples))
	}
}
