package track_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

const (
	open11 = `<?xml version="1.0" encoding="UTF-8"?>` + "\n" +
		`<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">` + "\n"
	open10 = `<gpx version="1.0" creator="test" xmlns="http://www.topografix.com/GPX/1/0">`
	twoPts = `<trkpt lat="33" lon="-112"/><trkpt lat="33.01" lon="-112"/>`
	oneTrk = `<trk><trkseg>` + twoPts + `</trkseg></trk>`
)

func read(s string) (track.Recording, error) {
	return track.Read(strings.NewReader(s), track.DefaultLimits())
}

func plain(lat, lon float64) track.Fix { return track.Fix{At: unit.At(lat, lon)} }

func TestRead(t *testing.T) {
	two := [][]track.Fix{{plain(33, -112), plain(33.01, -112)}}
	tests := []struct {
		name, in string
		want     track.Recording
	}{
		{"track of GPX 1.1", open11 + oneTrk + `</gpx>`, track.Recording{Segments: two}},
		{"track of GPX 1.0", open10 + oneTrk + `</gpx>`, track.Recording{Segments: two}},
		{"byte order mark", "\uFEFF" + open11 + oneTrk + `</gpx>`, track.Recording{Segments: two}},
		{"no namespace but a version", `<gpx version="1.1">` + oneTrk + `</gpx>`, track.Recording{Segments: two}},
		{"prefixed namespace", `<g:gpx version="1.1" xmlns:g="http://www.topografix.com/GPX/1/1"><g:trk><g:trkseg>` +
			`<g:trkpt lat="33" lon="-112"/><g:trkpt lat="33.01" lon="-112"/></g:trkseg></g:trk></g:gpx>`,
			track.Recording{Segments: two}},
		{"route is a segment with the route's name",
			open11 + `<rte><name>Dry  Fork
 Loop</name><rtept lat="33" lon="-112"/><rtept lat="33.01" lon="-112"/></rte></gpx>`,
			track.Recording{Name: "Dry Fork Loop", Segments: two}},
		{"each route a segment",
			open11 + `<rte><rtept lat="1" lon="1"/></rte><rte><rtept lat="2" lon="2"/></rte></gpx>`,
			track.Recording{Segments: [][]track.Fix{{plain(1, 1)}, {plain(2, 2)}}}},
		{"a track goes before a route, and says so",
			open11 + `<rte><name>plan</name><rtept lat="1" lon="1"/></rte><trk><name>walked</name><trkseg>` + twoPts +
				`</trkseg></trk></gpx>`,
			track.Recording{Name: "walked", Segments: two,
				Notes: []string{"The file also holds 1 route, which was left out because the file holds a track."}}},
		{"empty segments are none, tracks follow each other",
			open11 + `<trk><trkseg/><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>` +
				`<trk><trkseg><trkpt lat="2" lon="2"/></trkseg></trk></gpx>`,
			track.Recording{Segments: [][]track.Fix{{plain(1, 1)}, {plain(2, 2)}}}},
		{"waypoints with name and symbol",
			open11 +
				`<wpt lat="33.5" lon="-112.5"><ele>3</ele><name>Notch &amp; Saddle</name><sym>Flag, Blue</sym></wpt>` +
				oneTrk + `</gpx>`,
			track.Recording{Segments: two, Waypoints: []track.Waypoint{
				{Name: "Notch & Saddle", Symbol: "Flag, Blue", At: unit.At(33.5, -112.5)}}}},
		{"name of the file where the track has none",
			open11 + `<metadata><name>Out</name></metadata>` + oneTrk + `</gpx>`,
			track.Recording{Name: "Out", Segments: two}},
		{"heights, times with and without a zone, unreadable time",
			open11 + `<trk><trkseg>` +
				`<trkpt lat="1" lon="2"><ele> -12.5 </ele><time>2026-03-01T07:00:00.5-07:00</time></trkpt>` +
				`<trkpt lat="1" lon="2"><ele></ele><time>2026-03-01T14:00:01</time></trkpt>` +
				`<trkpt lat="1" lon="2"><ele>1e3</ele><time>noon</time></trkpt></trkseg></trk></gpx>`,
			track.Recording{Segments: [][]track.Fix{{
				{At: unit.At(1, 2), Elevation: -12.5, HasElevation: true,
					Time: time.Date(2026, 3, 1, 14, 0, 0, 5e8, time.UTC)},
				{At: unit.At(1, 2), Time: time.Date(2026, 3, 1, 14, 0, 1, 0, time.UTC)},
				{At: unit.At(1, 2), Elevation: 1000, HasElevation: true},
			}}}},
		{"extensions are skipped, even those that look like points",
			open11 + `<trk><trkseg><trkpt lat="33" lon="-112"><extensions><x:ele xmlns:x="urn:x">9</x:ele>` +
				`<trkpt lat="99" lon="0"/></extensions></trkpt>` +
				`<trkpt lat="33.01" lon="-112"/></trkseg></trk><extensions><trk/></extensions></gpx>`,
			track.Recording{Segments: two}},
		{"Latin-1", `<?xml version="1.0" encoding="ISO-8859-1"?>` + open10 +
			"<trk><name>Ca\xf1on \x96 R\xedo</name><trkseg>" + twoPts + `</trkseg></trk></gpx>`,
			track.Recording{Name: "Ca\u00f1on \u2013 R\u00edo", Segments: two}},
		{"poles and date line",
			open11 + `<trk><trkseg><trkpt lat="-90" lon="180"/><trkpt lat="90" lon="-180"/></trkseg></trk></gpx>`,
			track.Recording{Segments: [][]track.Fix{{plain(-90, 180), plain(90, -180)}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := read(tt.in)
			if err != nil {
				t.Fatalf("Read: %v", err)
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("Read (-want +got):\n%s", diff)
			}
		})
	}
}

func TestReadRefuses(t *testing.T) {
	point := func(attributes, inside string) string {
		return open11 + "<trk><trkseg>\n" + twoPts + "\n<trkpt " + attributes + ">" + inside +
			"</trkpt></trkseg></trk></gpx>"
	}
	tests := []struct {
		name, in string
		line     int
		reason   string
	}{
		{"empty file", "", 1, "empty"},
		{"not XML", "lat,lon\n33,-112\n", 1, "not a GPX file"},
		{"zip", "PK\x03\x04rest", 1, "zip file"},
		{"gzip", "\x1f\x8b\x08\x00", 1, "gzip file"},
		{"UTF-16", "\xff\xfe<\x00", 1, "UTF-16"},
		{"other encoding", `<?xml version="1.0" encoding="KOI8-R"?><gpx/>`, 1, "UTF-8"},
		{"only a comment", "<!-- gpx -->\n", 2, "no gpx element"},
		{"wrong root", "<?xml version=\"1.0\"?>\n<kml></kml>", 2, `root element is "kml", not gpx`},
		{"wrong namespace", `<gpx version="1.1" xmlns="urn:other"/>`, 1, `namespace "urn:other"`},
		{"wrong version", `<gpx version="2.0" xmlns="http://www.topografix.com/GPX/1/1"/>`, 1, `version "2.0"`},
		{"neither namespace nor version", `<gpx/>`, 1, "neither"},
		{"second root", open11 + oneTrk + "</gpx>\n<gpx/>", 4, "second root"},
		{"text after the root", open11 + oneTrk + "</gpx>\nmore", 3, "outside the gpx element"},
		{"no points", open11 + `<wpt lat="1" lon="1"/><trk><trkseg/></trk></gpx>`, 3, "no track or route with points"},
		{"DOCTYPE", "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [<!ENTITY a \"b\">]>\n" + open10 + oneTrk + `</gpx>`, 2,
			"DOCTYPE"},
		{"undefined entity", open11 + "<trk><name>&a;</name></trk></gpx>", 3, "entity &a;"},
		{"latitude off the globe", point(`lat="91.2" lon="0"`, ""), 5, "latitude 91.2 is off the globe"},
		{"longitude off the globe", point(`lat="0" lon="-180.001"`, ""), 5, "longitude -180.001 is off the globe"},
		{"NaN latitude", point(`lat="NaN" lon="0"`, ""), 5, `latitude "NaN" is not a number`},
		{"infinite longitude", point(`lat="0" lon="Inf"`, ""), 5, `longitude "Inf" is not a number`},
		{"number beyond all", point(`lat="1e999" lon="0"`, ""), 5, "is not a number"},
		{"decimal comma", point(`lat="33,5" lon="0"`, ""), 5, `latitude "33,5" is not a number`},
		{"hexadecimal", point(`lat="0x1p4" lon="0"`, ""), 5, "is not a number"},
		{"no longitude", point(`lat="33"`, ""), 5, "a trkpt has no longitude"},
		{"NaN height", point(`lat="33" lon="0"`, "\n<ele>NaN</ele>"), 6, `elevation "NaN" is not a number`},
		{"waypoint off the globe", open11 + `<wpt lat="-90.5" lon="0"/>` + oneTrk + `</gpx>`, 3, "latitude -90.5"},
		{"cut between tags", open11 + "<trk><trkseg>\n" + twoPts, 4, "cut off"},
		{"cut inside a tag", open11 + "<trk><trkseg>\n" + twoPts + `<trkpt lat="3`, 4, "cut off"},
		{"tags crossed", open11 + `<trk><trkseg>` + twoPts + `</trk></trkseg></gpx>`, 3, "not well-formed"},
		{"nested deep", open11 + strings.Repeat("<a>", 40), 3, "deeper than 32"},
		{"long tag", open11 + `<trk a="` + strings.Repeat("x", 100<<10) + `"/></gpx>`, 3, "longer than 64 KiB"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := read(tt.in)
			var bad *track.ReadError
			if !errors.As(err, &bad) {
				t.Fatalf("Read: error %v, want a ReadError", err)
			}
			if bad.Line != tt.line || !strings.Contains(bad.Reason, tt.reason) {
				t.Errorf("Read: %q, want line %d and %q", bad, tt.line, tt.reason)
			}
			if diff := cmp.Diff(track.Recording{}, got); diff != "" {
				t.Errorf("something half-read came back:\n%s", diff)
			}
		})
	}
}

// A file truncated at any byte gives an error, and never a shorter walk.
func TestReadRefusesEveryCut(t *testing.T) {
	whole := open11 + `<trk><name>a</name><trkseg><trkpt lat="33" lon="-112"><ele>5</ele></trkpt></trkseg></trk></gpx>`
	for n := range len(whole) {
		if _, err := read(whole[:n]); err == nil {
			t.Fatalf("Read took a file cut after byte %d: %q", n, whole[:n])
		}
	}
}

func TestReadLimits(t *testing.T) {
	in := open11 + `<wpt lat="1" lon="1"/>` + oneTrk + `</gpx>`
	exact := track.Limits{Bytes: int64(len(in)), Points: 3, Depth: 4}
	with := func(change func(*track.Limits)) track.Limits {
		l := exact
		change(&l)
		return l
	}
	tests := []struct {
		name   string
		lim    track.Limits
		reason string
	}{
		{"exactly enough", exact, ""},
		{"a byte too few", with(func(l *track.Limits) { l.Bytes-- }), "larger than"},
		{"three bytes", with(func(l *track.Limits) { l.Bytes = 3 }), "larger than 3 bytes"},
		{"a point too few", with(func(l *track.Limits) { l.Points-- }), "more than 2 points"},
		{"a level too few", with(func(l *track.Limits) { l.Depth-- }), "deeper than 3"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := track.Read(strings.NewReader(in), tt.lim)
			if (err == nil) != (tt.reason == "") || err != nil && !strings.Contains(err.Error(), tt.reason) {
				t.Errorf("Read: %v, want %q", err, tt.reason)
			}
		})
	}
}

// An error of the reader is not blamed on the file, and errors.Is finds it.
func TestReadPassesOnReaderErrors(t *testing.T) {
	broken := errors.New("connection lost")
	for _, head := range []string{"", open11 + `<trk>`} {
		_, err := track.Read(io.MultiReader(strings.NewReader(head), iotest.ErrReader(broken)), track.DefaultLimits())
		var bad *track.ReadError
		if !errors.Is(err, broken) || errors.As(err, &bad) {
			t.Errorf("after %q: %v, want %v and no ReadError", head, err, broken)
		}
	}
}

func TestReadDoesNotDependOnChunks(t *testing.T) {
	in := open11 + `<trk><name>a</name>` + oneTrk[5:] + `</gpx>`
	want, err := read(in)
	if err != nil {
		t.Fatal(err)
	}
	got, err := track.Read(iotest.OneByteReader(strings.NewReader(in)), track.DefaultLimits())
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("byte by byte: %v\n%s", err, diff)
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"", "<gpx", "<kml/>", open11 + oneTrk + "</gpx>", open10 + oneTrk + "</gpx>",
		open11 + `<rte><rtept lat="1" lon="2"><ele>3</ele><time>2026-03-01T07:00:00Z</time></rtept></rte></gpx>`,
		open11 + `<wpt lat="1" lon="2"><name>a&amp;b</name></wpt>` + oneTrk + "</gpx>",
		"<!DOCTYPE gpx>", `<?xml version="1.0" encoding="latin1"?>` + open10 + "<name>\xe9</name>" + oneTrk + "</gpx>",
		open11 + `<trk><trkseg><trkpt lat="90" lon="180"/><trkpt lat="-90" lon="-180"/></trkseg></trk></gpx>`,
	} {
		f.Add([]byte(seed))
	}
	lim := track.Limits{Bytes: 1 << 16, Points: 500, Depth: 16}
	f.Fuzz(func(t *testing.T, in []byte) {
		rec, err := track.Read(bytes.NewReader(in), lim)
		if err != nil {
			var bad *track.ReadError
			if !errors.As(err, &bad) || bad.Line < 1 || rec.Points() != 0 {
				t.Fatalf("Read(%q): %v with %d points", in, err, rec.Points())
			}
			return
		}
		// What was read can be written and read again, and NewProfile accepts it.
		var out bytes.Buffer
		if err := track.Write(&out, rec); err != nil {
			t.Fatalf("Write: %v", err)
		}
		if _, err := track.Read(&out, track.DefaultLimits()); err != nil {
			t.Fatalf("Read(Write): %v", err)
		}
		if p, err := track.NewProfile(rec, track.OneWay); err == nil && !(p.Length > 0 && p.Ascent >= 0) {
			t.Fatalf("profile of %q: length %v, ascent %v", in, p.Length, p.Ascent)
		}
	})
}

// Goldens of our own code, not published figures: the three recordings must stay readable and give plausible lengths
// and heights. Low and high are within those of the raw file (1679 to 1765 m for the first).
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

// The figures of a walk must not depend on how it was recorded: a real walk at one fix a second, complete, thinned,
// or with white noise of 3 m added to north, east and height.
func TestFiguresDoNotDependOnTheRecorder(t *testing.T) {
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
