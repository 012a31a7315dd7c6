package track_test

import (
	"bytes"
	"errors"
	"math"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

func TestWriteRefuses(t *testing.T) {
	tests := []struct {
		name string
		rec  track.Recording
		want string
	}{
		{"no points", track.Recording{Segments: [][]track.Fix{{}}}, "a recording without points cannot be written"},
		{"off the globe", recorded([]track.Fix{plain(1, 1)}, []track.Fix{plain(2, 2), plain(91, 0)}),
			"point 2 of segment 2 is off the globe"},
		{"height no number",
			recorded([]track.Fix{{At: unit.At(1, 1), Elevation: unit.Length(math.NaN()), HasElevation: true}}),
			"the height of point 1 of segment 1 is not a number"},
		{"waypoint off the globe",
			track.Recording{Segments: [][]track.Fix{{plain(1, 1)}}, Waypoints: []track.Waypoint{{At: unit.At(0, 181)}}},
			"waypoint 1 is off the globe"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var out bytes.Buffer
			err := track.Write(&out, tt.rec)
			if err == nil || err.Error() != tt.want || out.Len() > 0 {
				t.Errorf("Write: %v and %d bytes, want %q and none", err, out.Len(), tt.want)
			}
		})
	}
}

type fullDisk struct{ err error }

func (w fullDisk) Write([]byte) (int, error) { return 0, w.err }

func TestWritePassesOnWriterErrors(t *testing.T) {
	full := errors.New("disk full")
	if err := track.Write(fullDisk{full}, recorded(straight(500, 10, level))); !errors.Is(err, full) {
		t.Errorf("Write: %v, want %v", err, full)
	}
}

func TestParseShape(t *testing.T) {
	for _, s := range []track.Shape{track.OneWay, track.OutAndBack, track.Loop} {
		if got, err := track.ParseShape(string(s)); err != nil || got != s {
			t.Errorf("ParseShape(%q) = %q, %v", s, got, err)
		}
	}
	if _, err := track.ParseShape("Loop"); err == nil {
		t.Error("ParseShape took a capital")
	}
}
