package sitetest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TrackFile writes an invented track in a GPX file and returns its path: Cinder Wash, to be
// walked out and back, 4.4 km one way with 239 m of climb and two waypoints.
func TrackFile(t testing.TB) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">` +
		`<wpt lat="33.4" lon="-112"><name>Cinder Gate trailhead</name></wpt>` +
		`<wpt lat="33.41" lon="-112"><name>Notch Junction</name></wpt>` +
		`<trk><name>Cinder Wash</name><trkseg>`)
	for i := range 400 {
		lat, lon, height := 33.4+float64(i)*0.0001, -112+0.00002*float64(i%7), 500+float64(i)*0.6
		fmt.Fprintf(&b, `<trkpt lat="%.5f" lon="%.5f"><ele>%.1f</ele></trkpt>`, lat, lon, height)
	}
	b.WriteString(`</trkseg></trk></gpx>`)
	file := filepath.Join(t.TempDir(), "cinder-wash.gpx")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}
