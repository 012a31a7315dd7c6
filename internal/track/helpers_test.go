package track_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// degree is one degree of latitude at 33 N on WGS84 in meters, near enough for made-up
// tracks; tests measure with the profile's own distances.
const degree = 110_900.0

// fix makes a point so many meters east and north of a place in the desert.
func fix(east, north, height float64) track.Fix {
	lat := 33 + north/degree
	return track.Fix{
		At:        unit.At(lat, -112+east/(degree*math.Cos(33*math.Pi/180))*0.99553),
		Elevation: unit.Length(height), HasElevation: true,
	}
}

func recorded(segments ...[]track.Fix) track.Recording {
	return track.Recording{Segments: segments}
}

// straight walks north in equal steps, with heights of its own.
func straight(steps int, step float64, height func(along float64) float64) []track.Fix {
	var out []track.Fix
	for i := range steps + 1 {
		along := float64(i) * step
		out = append(out, fix(0, along, height(along)))
	}
	return out
}

func level(float64) float64 { return 500 }

func profile(t testing.TB, rec track.Recording, shape track.Shape) track.Profile {
	t.Helper()
	p, err := track.NewProfile(rec, shape)
	if err != nil {
		t.Fatalf("NewProfile: %v", err)
	}
	return p
}

func near(t failer, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.3f, want %.3f +- %.3f", what, got, want, tolerance)
	}
}

// shared opens a file of the data folder beside the repository.
func shared(t testing.TB, name string) track.Recording {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			t.Skip("SKIP: no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
	f, err := os.Open(filepath.Join(dir, "..", "shared", "data", "tracks", name))
	if err != nil {
		t.Skipf("SKIP: shared track %s is absent", name)
	}
	defer f.Close()
	rec, err := track.Read(f, track.DefaultLimits())
	if err != nil {
		t.Fatalf("Read(%s): %v", name, err)
	}
	return rec
}

// every keeps each n-th fix and the last of each segment.
func every(rec track.Recording, n int) track.Recording {
	var out track.Recording
	for _, s := range rec.Segments {
		var kept []track.Fix
		for i, f := range s {
			if i%n == 0 || i == len(s)-1 {
				kept = append(kept, f)
			}
		}
		out.Segments = append(out.Segments, kept)
	}
	return out
}

// noisy adds white noise of so many meters to places (north and east each) and heights.
func noisy(rec track.Recording, seed uint64, place, height float64) track.Recording {
	const radius = 6_371_000
	r := rand.New(rand.NewPCG(seed, 7))
	var out track.Recording
	for _, s := range rec.Segments {
		moved := append([]track.Fix(nil), s...)
		for i := range moved {
			at := &moved[i].At
			at.Lat += unit.Angle(r.NormFloat64() * place / radius)
			at.Lon += unit.Angle(r.NormFloat64() * place / radius / math.Cos(at.Lat.Radians()))
			moved[i].Elevation += unit.Length(r.NormFloat64() * height)
		}
		out.Segments = append(out.Segments, moved)
	}
	return out
}

func reversed(rec track.Recording) track.Recording {
	var out track.Recording
	for i := len(rec.Segments) - 1; i >= 0; i-- {
		var back []track.Fix
		for j := len(rec.Segments[i]) - 1; j >= 0; j-- {
			back = append(back, rec.Segments[i][j])
		}
		out.Segments = append(out.Segments, back)
	}
	return out
}

func noted(p track.Profile, part string) bool {
	return strings.Contains(strings.Join(p.Notes, "\n"), part)
}

// failer is what near needs of a test, a benchmark or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
}
