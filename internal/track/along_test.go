package track_test

import (
	"math"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

func TestSampleAt(t *testing.T) {
	rec := recorded(straight(20, 50, func(x float64) float64 { return 500 + x/10 }))
	back := profile(t, rec, track.OutAndBack)
	tests := []struct {
		name          string
		along         unit.Length
		want          unit.Length // Along
		north, height float64
	}{
		{"start", 0, 0, 0, 500},
		{"between samples", 125, 125, 125, 512.5},
		{"far point", back.Far(), back.Far(), 1000, 600},
		{"mirrored on the way back", back.Length - 125, back.Length - 125, 125, 512.5},
		{"back at the start", back.Length, back.Length, 0, 500},
		{"before the start", -5, 0, 0, 500},
		{"beyond the end", back.Length + 5, back.Length, 0, 500},
		{"no number", unit.Length(math.NaN()), 0, 0, 500},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := back.SampleAt(tt.along)
			near(t, "along", s.Along.Metres(), tt.want.Metres(), 0)
			near(t, "off", s.At.DistanceTo(fix(0, tt.north, 0).At).Metres(), 0, 1)
			near(t, "elevation", s.Elevation.Metres(), tt.height, 0.2)
		})
	}
	if got := (track.Profile{}).SampleAt(3); got != (track.Sample{}) {
		t.Errorf("an empty profile gives %v, want nothing", got)
	}
}

func TestNearest(t *testing.T) {
	p := profile(t, recorded(straight(20, 50, level), []track.Fix{fix(800, 1000, 500), fix(800, 1500, 500)}),
		track.OutAndBack)
	tests := []struct {
		name        string
		at          unit.Position
		along, away float64
	}{
		{"beside the line", fix(40, 333, 0).At, 333, 40},
		{"on the line", fix(0, 725, 0).At, 725, 0},
		{"before the start", fix(0, -30, 0).At, 0, 30},
		{"beyond the end", fix(800, 1600, 0).At, 1500, 100},
		{"in the middle of a gap: its nearer side", fix(500, 1000, 0).At, 1000, 300},
		{"other side of the world", unit.At(-33, 68), math.NaN(), math.NaN()},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			along, off := p.Nearest(tt.at)
			if math.IsNaN(tt.along) {
				if along < 0 || along > p.Far() || off < 1000*unit.Kilometre {
					t.Errorf("Nearest = %v, %v", along, off)
				}
				return
			}
			near(t, "along", along.Metres(), tt.along, 3)
			near(t, "off", off.Metres(), tt.away, 1)
		})
	}
	if along, off := (track.Profile{}).Nearest(unit.At(1, 1)); along != 0 || off != 0 {
		t.Errorf("an empty profile gives %v, %v", along, off)
	}
}

func TestAcrossTheDateLine(t *testing.T) {
	var fixes []track.Fix
	for i := range 41 { // 0.0001 degrees of longitude on the equator are 11.13 m
		lon := 179.998 + float64(i)*0.0001
		if lon > 180 {
			lon -= 360
		}
		fixes = append(fixes, plain(0, lon))
	}
	p := profile(t, recorded(fixes), track.OneWay)
	near(t, "length", p.Length.Metres(), 0.004*111319.491, 0.5)
	middle := p.SampleAt(p.Length / 2).At
	near(t, "middle", middle.DistanceTo(unit.At(0, 180)).Metres(), 0, 1)
	along, off := p.Nearest(unit.At(0.0001, -179.999))
	near(t, "along", along.Metres(), 0.003*111319.491, 1)
	near(t, "off", off.Metres(), 11.06, 0.1)
}

func TestLegs(t *testing.T) {
	rec := recorded(straight(100, 12, func(x float64) float64 { return 500 + x/8 }),
		[]track.Fix{fix(0, 3000, 500), fix(0, 3030, 503)})
	p := profile(t, rec, track.OutAndBack)
	legs := p.Legs()
	// 1200 m in 24 legs of 50, and 30 m after the gap in one, there and back. The curve of
	// the Earth makes 1200 made-up meters 1199.9.
	if len(legs) != 2*(23+1) && len(legs) != 2*(24+1) {
		t.Fatalf("%d legs, want 48 or 50", len(legs))
	}
	for i, leg := range legs {
		back := legs[len(legs)-1-i]
		near(t, "mirrored rise", leg.Rise.Metres(), -back.Rise.Metres(), 1e-9)
		near(t, "mirrored slope", float64(leg.Slope), -float64(back.Slope), 1e-9)
		near(t, "mirrored place", leg.From.Metres(), (p.Length - back.To).Metres(), 1e-9)
		if i > 0 {
			near(t, "start of the leg", leg.From.Metres(), legs[i-1].To.Metres(), 1e-6)
		}
	}
	near(t, "slope", float64(legs[3].Slope), 0.125, 0.002)
	near(t, "rise", legs[3].Rise.Metres(), 0.125*(legs[3].To-legs[3].From).Metres(), 0.02)
}
