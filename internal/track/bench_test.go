package track_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// tenThousand is a winding 10,000-point walk with fixes so many metres apart.
func tenThousand(step float64) track.Recording {
	r := rand.New(rand.NewPCG(1, 1))
	var fixes []track.Fix
	x, y := 0.0, 0.0
	for i := range 10_000 {
		heading := math.Sin(float64(i) / 50)
		x, y = x+step*math.Sin(heading), y+step*math.Cos(heading)
		fixes = append(fixes,
			fix(x+r.NormFloat64(), y+r.NormFloat64(), 500+100*math.Sin(float64(i)/800)+r.NormFloat64()))
	}
	return recorded(fixes)
}

// The floor beside BenchmarkNewProfile: one pass of distances.
func BenchmarkDistances(b *testing.B) {
	fixes := tenThousand(1.2).Segments[0]
	var sum unit.Length
	for b.Loop() {
		for i := 1; i < len(fixes); i++ {
			sum += fixes[i-1].At.DistanceTo(fixes[i].At)
		}
	}
	if sum == 0 {
		b.Fatal("no distance")
	}
}

func BenchmarkNewProfile(b *testing.B) {
	for name, step := range map[string]float64{"every 1.2 m": 1.2, "every 12 m": 12} {
		rec := tenThousand(step)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := track.NewProfile(rec, track.OutAndBack); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRead(b *testing.B) {
	var file bytes.Buffer
	if err := track.Write(&file, tenThousand(1.2)); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(file.Len()))
	for b.Loop() {
		if _, err := track.Read(bytes.NewReader(file.Bytes()), track.DefaultLimits()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStore(b *testing.B) {
	p := profile(b, tenThousand(12), track.OneWay)
	data, err := p.MarshalBinary()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(data))/float64(len(p.Samples)), "bytes/sample")
	for b.Loop() {
		var got track.Profile
		if err := got.UnmarshalBinary(data); err != nil {
			b.Fatal(err)
		}
	}
}
