package track_test

import (
	"testing"

	"saltbush/internal/track"
)

// Goldens of our own code, not published figures: the three recordings must keep reading
// and giving sensible lengths and heights. Low and high lie within those of the raw
// file (1679 to 1765 m for the first).
func TestRecordedTracks(t *testing.T) {
	tests := []struct {
		name                                 string
		segments, waypoints                  int
		length, ascent, descent, lowest, top float64
	}{
		{"hike-montana-1hz.gpx", 1, 0, 2599, 77, 77, 1680, 1757},
		{"ridge-trek.gpx", 3, 2, 14718, 633, 630, 723, 1050},
		{"lake-ride-gap.gpx", 7, 7, 4490, 165, 62, 507, 577},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := shared(t, tt.name)
			if len(rec.Segments) != tt.segments || len(rec.Waypoints) != tt.waypoints {
				t.Errorf("%d segments and %d waypoints, want %d and %d",
					len(rec.Segments), len(rec.Waypoints), tt.segments, tt.waypoints)
			}
			p := profile(t, rec, track.OneWay)
			near(t, "length", p.Length.Metres(), tt.length, 0.01*tt.length)
			near(t, "ascent", p.Ascent.Metres(), tt.ascent, 3)
			near(t, "descent", p.Descent.Metres(), tt.descent, 3)
			near(t, "lowest", p.Lowest.Metres(), tt.lowest, 1)
			near(t, "highest", p.Highest.Metres(), tt.top, 1)
		})
	}
}

// The figures of a walk may not hang on how it was recorded: the real walk at one fix a
// second whole, thinned, or with white noise of 3 m added to north, east and height.
func TestFiguresDoNotHangOnTheRecorder(t *testing.T) {
	whole := shared(t, "hike-montana-1hz.gpx")
	base := profile(t, whole, track.OneWay)
	tests := []struct {
		name string
		rec  track.Recording
	}{
		{"thinned 1 in 2", every(whole, 2)},
		{"thinned 1 in 5", every(whole, 5)},
		{"thinned 1 in 10", every(whole, 10)},
		{"thinned 1 in 20", every(whole, 20)},
		{"reversed", reversed(whole)},
		{"noise of 3 m in place and height, first seed", noisy(whole, 1, 3, 3)},
		{"noise of 3 m in place and height, second seed", noisy(whole, 2, 3, 3)},
		{"noise of 3 m in place and height, third seed", noisy(whole, 3, 3, 3)},
		{"noise of 3 m in place", noisy(whole, 4, 3, 0)},
		{"thinned 1 in 5 with noise of 3 m in both", noisy(every(whole, 5), 5, 3, 3)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := profile(t, tt.rec, track.OneWay)
			near(t, "length", p.Length.Metres(), base.Length.Metres(), 0.03*base.Length.Metres())
			near(t, "ascent", p.Ascent.Metres(), base.Ascent.Metres(), 0.15*base.Ascent.Metres())
			t.Logf("length %.0f m, climb %.0f m", p.Length.Metres(), p.Ascent.Metres())
		})
	}
}
