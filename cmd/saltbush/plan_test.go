package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/site/sitetest"
	"saltbush/web/ui"
)

// sharedTracks lists the real tracks beside the repository, or skips.
func sharedTracks(t testing.TB) []string {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(sitetest.Root(t), "../shared/data/tracks/*.gpx"))
	if len(files) == 0 {
		t.Skip("no folder ../shared/data/tracks beside the repository")
	}
	return files
}

// Every real track uploads and plans. The plan on file and on the page is the one that the
// command line prints.
func TestPagePlansAsTheCommandLineDoes(t *testing.T) {
	t.Parallel()
	files := sharedTracks(t)
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v := s.SignIn(t, sitetest.Coordinator)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".gpx"), func(t *testing.T) {
			v := v.In(t)
			manage := planOnThePages(t, s, v, file)
			got, want := storedPlan(t, s, manage), printedPlan(t, file)
			got.Return = want.Return // the clocks of the day come from the case: the page shows them, below
			sameInstant := cmp.Comparer(func(a, b plan.Instant) bool { return a.Equal(b.Time) })
			if diff := cmp.Diff(want, got, sameInstant); diff != "" {
				t.Errorf("command line and page (-command line +page):\n%s", diff)
			}
			v.Get(manage).Want(http.StatusOK).Shows(
				format.Duration(want.Time.P50.Duration()),
				format.Duration(want.Time.P90.Duration()),
				want.Turnaround.At.Format("15:04"),
				want.Return.Watch.Format("15:04"),
				ui.NewFigure("", format.Volume(want.Water.Carry, format.Metric), "").Value,
			)
		})
	}
}

// planOnThePages uploads a track, schedules a hike on it with a forecast, and returns the path
// of the hike's page.
func planOnThePages(t *testing.T, s *sitetest.Site, v *sitetest.Visitor, file string) (manage string) {
	t.Helper()
	gpx, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v.Upload("/trails", "track.gpx", gpx, url.Values{
		"name": {"Spoiled"}, "zone": {"America/Phoenix"}, "surface": {"firm"}, "shape": {"out-and-back"},
	}).Want(http.StatusSeeOther)
	trails, err := s.DB.Trails(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	newest := ref.Trail(0)
	for _, tr := range trails {
		newest = max(newest, tr.ID)
	}
	manage = v.Post("/hikes", url.Values{
		"trail": {strconv.Itoa(int(newest))}, "title": {"As planned"}, "date": {"2027-05-09"}, "meet": {"06:00"},
		"start": {"06:30"}, "places": {"12"}, "pace": {"ordinary"}, "leader": {"1"}, "sweep": {"2"},
	}).Want(http.StatusSeeOther).Location()
	v.Post(path.Dir(manage)+"/forecast", url.Values{
		"temperature_unit": {"C"}, "low": {"17"}, "high": {"33"}, "dew_point": {"2"}, "wind": {"2"},
		"wind_unit": {"m/s"},
		"cloud":     {"10"},
	}).Want(http.StatusSeeOther)
	return manage
}

// storedPlan is the plan of the hike whose page has that path.
func storedPlan(t *testing.T, s *sitetest.Site, manage string) plan.Plan {
	t.Helper()
	id, err := strconv.Atoi(path.Base(path.Dir(manage)))
	if err != nil {
		t.Fatal(err)
	}
	stored, err := s.DB.LatestPlan(context.Background(), ref.Hike(id))
	if err != nil {
		t.Fatal(err)
	}
	return stored.Plan
}

func printedPlan(t *testing.T, file string) (p plan.Plan) {
	t.Helper()
	out, err := command(t, "plan", "--gpx", file, "--out-and-back", "--date", "2027-05-09", "--start", "06:30",
		"--tz", "America/Phoenix", "--low", "17C", "--high", "33C", "--dewpoint", "2C", "--wind", "2m/s",
		"--cloud", "0.1", "--participants", "12", "--staff", "2", "--format", "json")
	if err != nil {
		t.Fatalf("plan: %v\n%s", err, out)
	}
	if err := json.Unmarshal([]byte(out), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// planArgs are those of a plan of the track in a file, in metric units, and more.
func planArgs(file string, more ...string) []string {
	return append([]string{
		"plan", "--gpx", file, "--out-and-back", "--date", "2026-05-10", "--start", "06:30", "--tz", "America/Denver",
		"--low", "17C", "--high", "33C", "--dewpoint", "2C", "--participants", "12", "--staff", "2",
	}, more...)
}

func TestPlanCommand(t *testing.T) {
	t.Parallel()
	file := sitetest.TrackFile(t)
	for _, tt := range []struct {
		name string
		more []string
		want []string
	}{
		{"one person alone carries no reserve", []string{"--participants", "0", "--staff", "1", "--format", "json"},
			[]string{`"group_reserve_l": 0`}},
		{"text names its figures", nil,
			[]string{"VERDICT", "Water", "watch time", "call time", "Turn by", "not medical advice"}},
		{"every figure is explained with its source", []string{"--explain"},
			[]string{"water.drink_l_per_h", "heat.peak_wbgt_c", "Campbell", "TB MED 507", "Liljegren"}},
		{"an official warning cancels",
			[]string{"--start", "10:00", "--heat-level", "4", "--warning", "extreme heat", "--storm", "30%",
				"--air-quality", "120",
				"--format", "json"},
			[]string{`"decision": "cancel"`, `"heat_level": 4`, `"warning": "in force"`, `"storm_chance": 0.3`,
				`"air_quality_index": 120`, "A warning is in force (extreme heat): cancel"}},
		{"what nobody looked up is not known", nil, []string{"heat level not known; warning not known"}},
		{"hourly air replaces the curve", []string{"--hourly", hourlyFile(t), "--format", "json"},
			[]string{`"peak_air_c": 12,`}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			out, err := command(t, planArgs(file, tt.more...)...)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range tt.want {
				if !strings.Contains(out, want) {
					t.Errorf("%q is missing:\n%.4000s", want, out)
				}
			}
		})
	}
}

// hourlyFile has the same air at each hour of a day.
func hourlyFile(t testing.TB) string {
	t.Helper()
	rows := "at,air,dewpoint,wind,cloud\n"
	for h := range 24 {
		rows += fmt.Sprintf("%02d:00,12C,2C,2m/s,0.1\n", h)
	}
	file := filepath.Join(t.TempDir(), "hourly.csv")
	if err := os.WriteFile(file, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestPlanCommandTakesBothUnits(t *testing.T) {
	t.Parallel()
	file := sitetest.TrackFile(t)
	metric, err := command(t, planArgs(file, "--wind", "2m/s", "--format", "json")...)
	if err != nil {
		t.Fatal(err)
	}
	us, err := command(t, planArgs(file, "--low", "62.6F", "--high", "91.4F", "--dewpoint", "35.6F",
		"--wind", "4.473873mph", "--format", "json")...)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(metric, us); diff != "" {
		t.Errorf("metric and US (-metric +US):\n%s", diff)
	}
}

func TestPlanCommandRefuses(t *testing.T) {
	t.Parallel()
	file := sitetest.TrackFile(t)
	for _, tt := range []struct {
		name string
		more []string
		want string
	}{
		{"no unit", []string{"--high", "33"}, "--high"},
		{"no such zone", []string{"--tz", "Mars/Base"}, "--tz"},
		{"an hour that the clocks skip", []string{"--date", "2026-03-08", "--start", "02:30"}, "clocks change"},
		{"neither dew point nor humidity", []string{"--dewpoint", ""}, "--dewpoint or --humidity"},
		{"no such file", []string{"--gpx", "/nowhere.gpx"}, "nowhere.gpx"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			out, err := command(t, planArgs(file, tt.more...)...)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want words like %q\n%s", err, tt.want, out)
			}
		})
	}
}
