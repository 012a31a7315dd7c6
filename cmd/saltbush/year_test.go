package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltbush/internal/site/sitetest"
)

// normals are those of five months, in metric and US units.
const normals = `month, low, high, dewpoint, wind, cloud, hot_by
Jan, 5C, 19C, -2C, 2m/s, 35%
Mar, 10C, 26C, -1C, 2.6m/s, 30%, 6C
May, 66F, 97F, 32F, 7mph, 15%
Jul, 27C, 41C, 15C, 3m/s, 35%
Oct, 16C, 32C, 5C, 2.2m/s, 15%
`

func normalsFile(t testing.TB, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "normals.csv")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func yearArgs(t testing.TB, normals string, more ...string) []string {
	return append([]string{
		"plan", "--gpx", sitetest.TrackFile(t), "--out-and-back", "--tz", "America/Phoenix", "--participants", "12",
		"--staff", "2", "--year", normalsFile(t, normals),
	}, more...)
}

func TestYearCommand(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		more []string
		want []string
	}{
		{"as text", nil, []string{
			"May it be led from", "February            not known", "usual day of 19", "house ladder",
			"not medical advice",
		}},
		{"as JSON", []string{"--format", "json"}, []string{
			`"usual_day": "`, `"answer": "may be led"`, `"known": false`, `"hot_day": null`,
		}},
		{"explained", []string{"--explain"}, []string{"months[].starts[].answer", "the graver of the two days"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			out, err := command(t, yearArgs(t, normals, tt.more...)...)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range tt.want {
				if !strings.Contains(out, want) {
					t.Errorf("%q is missing:\n%s", want, out)
				}
			}
		})
	}
}

func TestYearCommandRefusesByLineAndColumn(t *testing.T) {
	t.Parallel()
	_, err := command(t, yearArgs(t, strings.Replace(normals, "41C", "41", 1))...)
	if err == nil || !strings.Contains(err.Error(), "line 5, column high") {
		t.Errorf("got %v, want the line and the column", err)
	}
}

func TestPlanOfOneDayNeedsItsDay(t *testing.T) {
	t.Parallel()
	_, err := command(t, "plan", "--gpx", sitetest.TrackFile(t), "--tz", "America/Phoenix", "--dewpoint", "2C")
	if err == nil || !strings.Contains(err.Error(), "missing --date") ||
		!strings.Contains(err.Error(), "missing --high") {
		t.Errorf("got %v, want that --date and --high are missing", err)
	}
}
