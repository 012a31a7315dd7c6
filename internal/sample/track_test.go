package sample_test

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/sample"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

func mustTracks(t *testing.T) []sample.Track {
	t.Helper()
	list, err := sample.Tracks()
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestTracksAreTheSameEveryTime(t *testing.T) {
	t.Parallel()
	if a, b := mustTracks(t), mustTracks(t); !reflect.DeepEqual(a, b) {
		t.Errorf("two calls differ:\n%s", cmp.Diff(a, b))
	}
}

func TestTracksReadCleanly(t *testing.T) {
	t.Parallel()
	// Our judgment: people can walk up 45 %; no trail of the demo is steeper.
	const walkable = 0.45
	tracks := mustTracks(t)
	if len(tracks) != 8 {
		t.Fatalf("%d tracks, want 8", len(tracks))
	}
	for _, tr := range tracks {
		t.Run(tr.Name, func(t *testing.T) {
			rec, err := track.Read(bytes.NewReader(tr.GPX), track.DefaultLimits())
			if err != nil {
				t.Fatal(err)
			}
			p, err := track.NewProfile(rec, track.OneWay)
			if err != nil {
				t.Fatal(err)
			}
			if !p.HasElevation || len(p.Notes) > 0 {
				t.Errorf("heights %v, notes %q: want a clean recording", p.HasElevation, p.Notes)
			}
			for _, leg := range p.Legs() {
				if math.Abs(float64(leg.Slope)) > walkable {
					t.Errorf("slope %.0f %% at %.0f m", float64(leg.Slope.Percent()), leg.From.Metres())
				}
			}
			if _, left := trail.PointsFromWaypoints(p, rec.Waypoints); len(left) > 0 || len(rec.Waypoints) < 4 {
				t.Errorf("%d waypoints, left out %q", len(rec.Waypoints), left)
			}
		})
	}
}

// All trails are within 10 km of one point.
func TestTracksLieInTheReserve(t *testing.T) {
	t.Parallel()
	middle := unit.At(33.4, -112.9)
	for _, tr := range mustTracks(t) {
		rec, err := track.Read(bytes.NewReader(tr.GPX), track.DefaultLimits())
		if err != nil {
			t.Fatal(err)
		}
		for _, fix := range rec.Segments[0] {
			if d := fix.At.DistanceTo(middle); d > 10*unit.Kilometre {
				t.Fatalf("%s: a fix is %.1f km from the middle", tr.Name, d.Kilometres())
			}
		}
	}
}
