package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/web/ui"
)

// Every real track uploads and plans, and the plan on file and on the page is the one
// that the command line prints.
func TestPagePlansAsTheCommandLineDoes(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "coordinator@example.org")
	post := func(path string, values url.Values) string {
		t.Helper()
		res, err := c.PostForm(p.base+path, values)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		body, _ := io.ReadAll(res.Body)
		if res.StatusCode != 303 {
			t.Fatalf("%s: status %d\n%s", path, res.StatusCode, body)
		}
		return res.Header.Get("Location")
	}
	for _, file := range sharedTracks(t) {
		t.Run(trackName(file), func(t *testing.T) {
			f, err := os.Open(file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			if status, page := upload(t, c, p.base, f); status != 303 {
				t.Fatalf("upload: status %d\n%s", status, page)
			}
			trails, err := p.db.Trails(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			newest := ref.Trail(0)
			for _, tr := range trails {
				newest = max(newest, tr.ID)
			}
			manage := post("/hikes", url.Values{"trail": {strconv.Itoa(int(newest))}, "title": {"As planned"}, "date": {"2027-05-09"},
				"meet": {"06:00"}, "start": {"06:30"}, "places": {"12"}, "pace": {"ordinary"}, "leader": {"1"}, "sweep": {"2"}})
			post(path.Dir(manage)+"/forecast", url.Values{"temperature_unit": {"C"}, "low": {"17"}, "high": {"33"}, "dew_point": {"2"},
				"wind": {"2"}, "wind_unit": {"m/s"}, "cloud": {"10"}})
			got := storedPlan(t, p, path.Base(path.Dir(manage)))
			want := printedPlan(t, file)
			sameInstant := cmp.Comparer(func(a, b plan.Instant) bool { return a.Equal(b.Time) })
			if d := cmp.Diff(want, got, sameInstant); d != "" {
				t.Errorf("command line and page (-command line +page):\n%s", d)
			}
			res, err := c.Get(p.base + manage)
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			page, _ := io.ReadAll(res.Body)
			for what, figure := range map[string]string{
				"time": format.Duration(want.Time.P50.Duration()), "late time": format.Duration(want.Time.P90.Duration()),
				"turnaround": want.Turnaround.At.Format("15:04"), "watch time": want.Return.Watch.Format("15:04"),
				"water": ui.NewFigure("", format.Volume(want.Water.Carry, format.Metric), "").Value,
			} {
				if !strings.Contains(string(page), figure) {
					t.Errorf("the page does not show the %s %q", what, figure)
				}
			}
		})
	}
}

func storedPlan(t *testing.T, p staffed, id string) plan.Plan {
	t.Helper()
	n, err := strconv.Atoi(id)
	if err != nil {
		t.Fatal(err)
	}
	stored, err := p.db.LatestPlan(context.Background(), ref.Hike(n))
	if err != nil {
		t.Fatal(err)
	}
	return stored.Plan
}

func printedPlan(t *testing.T, file string) plan.Plan {
	t.Helper()
	out, err := command(t, "plan", "--gpx", file, "--out-and-back", "--date", "2027-05-09", "--start", "06:30", "--tz", "America/Phoenix",
		"--low", "17C", "--high", "33C", "--dewpoint", "2C", "--wind", "2m/s", "--cloud", "0.1", "--participants", "12", "--staff", "2", "--format", "json")
	if err != nil {
		t.Fatalf("plan: %v\n%s", err, out)
	}
	var p plan.Plan
	if err := json.Unmarshal([]byte(out), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPlanCommand(t *testing.T) {
	file := writeTrack(t)
	args := func(more ...string) []string {
		return append([]string{"plan", "--gpx", file, "--out-and-back", "--date", "2026-05-10", "--start", "06:30", "--tz", "America/Denver",
			"--low", "17C", "--high", "33C", "--dewpoint", "2C"}, more...)
	}
	t.Run("US units give the same plan", func(t *testing.T) {
		metric, err := command(t, args("--participants", "12", "--staff", "2", "--wind", "2m/s", "--format", "json")...)
		if err != nil {
			t.Fatal(err)
		}
		us, err := command(t, "plan", "--gpx", file, "--out-and-back", "--date", "2026-05-10", "--start", "06:30", "--tz", "America/Denver",
			"--low", "62.6F", "--high", "91.4F", "--dewpoint", "35.6F", "--wind", "4.473873mph", "--participants", "12", "--staff", "2", "--format", "json")
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(metric, us); d != "" {
			t.Errorf("metric and US (-metric +US):\n%s", d)
		}
	})
	t.Run("one person alone carries no reserve", func(t *testing.T) {
		out, err := command(t, args("--participants", "0", "--staff", "1", "--format", "json")...)
		if err != nil || !strings.Contains(out, `"group_reserve_l": 0`) {
			t.Errorf("%v\n%s", err, out)
		}
	})
	t.Run("text names its figures", func(t *testing.T) {
		out, err := command(t, args("--participants", "12", "--staff", "2")...)
		for _, want := range []string{"VERDICT", "Water", "watch time", "call time", "Turn by", "not medical advice"} {
			if err != nil || !strings.Contains(out, want) {
				t.Errorf("%q is missing, %v:\n%s", want, err, out)
			}
		}
	})
	t.Run("every figure is explained with its source", func(t *testing.T) {
		out, err := command(t, args("--participants", "12", "--staff", "2", "--explain")...)
		for _, want := range []string{"water.drink_l_per_h", "heat.peak_wbgt_c", "Campbell", "TB MED 507", "Liljegren"} {
			if err != nil || !strings.Contains(out, want) {
				t.Errorf("%q is missing, %v", want, err)
			}
		}
	})
	t.Run("an official warning cancels", func(t *testing.T) {
		out, err := command(t, args("--start", "10:00", "--participants", "12", "--staff", "2", "--heat-level", "4", "--warning", "extreme heat", "--storm", "30%", "--air-quality", "120", "--format", "json")...)
		for _, want := range []string{`"decision": "cancel"`, `"heat_level": 4`, `"warning": "in force"`, `"storm_chance": 0.3`, `"air_quality_index": 120`, "A warning is in force (extreme heat): cancel"} {
			if err != nil || !strings.Contains(out, want) {
				t.Errorf("%q is missing, %v", want, err)
			}
		}
	})
	t.Run("what nobody looked up is not known", func(t *testing.T) {
		out, err := command(t, args("--participants", "12", "--staff", "2")...)
		if err != nil || !strings.Contains(out, "heat level not known; warning not known") {
			t.Errorf("%v\n%s", err, out)
		}
	})
	t.Run("hourly air replaces the curve", func(t *testing.T) {
		file := filepath.Join(t.TempDir(), "hourly.csv")
		rows := "at,air,dewpoint,wind,cloud\n"
		for h := range 24 {
			rows += fmt.Sprintf("%02d:00,12C,2C,2m/s,0.1\n", h)
		}
		if err := os.WriteFile(file, []byte(rows), 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := command(t, args("--participants", "12", "--staff", "2", "--hourly", file, "--format", "json")...)
		if err != nil || !strings.Contains(out, `"peak_air_c": 12,`) {
			t.Errorf("%v\n%.800s", err, out)
		}
	})
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"no unit", []string{"--high", "33"}, "--high"},
		{"no such zone", []string{"--tz", "Mars/Base"}, "--tz"},
		{"an hour that the clocks skip", []string{"--date", "2026-03-08", "--start", "02:30"}, "clocks change"},
		{"neither dew point nor humidity", []string{"--dewpoint", ""}, "--dewpoint or --humidity"},
		{"no such file", []string{"--gpx", "/nowhere.gpx"}, "nowhere.gpx"},
	} {
		t.Run("refuses "+c.name, func(t *testing.T) {
			out, err := command(t, args(c.args...)...)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want words like %q\n%s", err, c.want, out)
			}
		})
	}
}
