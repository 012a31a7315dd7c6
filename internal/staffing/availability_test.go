package staffing_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

func TestAbsenceCovers(t *testing.T) {
	a := func(from, to string, days ...time.Weekday) team.Absence {
		x := team.Absence{From: date(t, from), Weekdays: days}
		if to != "" {
			x.To = date(t, to)
		}
		return x
	}
	tests := []struct {
		name string
		a    team.Absence
		day  string
		want bool
	}{
		{"the day before", a("2027-03-10", "2027-03-14"), "2027-03-09", false},
		{"the first day", a("2027-03-10", "2027-03-14"), "2027-03-10", true},
		{"the last day", a("2027-03-10", "2027-03-14"), "2027-03-14", true},
		{"the day after", a("2027-03-10", "2027-03-14"), "2027-03-15", false},
		{"a weekday of the range", a("2027-03-01", "2027-03-31", time.Sunday), "2027-03-14", true},
		{"another weekday of the range", a("2027-03-01", "2027-03-31", time.Sunday), "2027-03-15", false},
		{"a weekday for good", a("2027-03-01", "", time.Sunday), "2029-03-11", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.a.Covers(date(t, tt.day)); got != tt.want {
				t.Errorf("%s covers %s: %v, want %v", tt.a.Words(), tt.day, got, tt.want)
			}
		})
	}
}

func TestCandidatesAreInFairOrderWithReasons(t *testing.T) {
	h, tr := dawn(t, "2027-03-15")
	today := date(t, "2027-03-01")
	led := func(q team.Qualification, days ...string) team.Qualification {
		for _, d := range days {
			q.Walked = append(q.Walked, team.Walked{Role: team.Leader, Start: date(t, d).Time().Add(14 * time.Hour)})
		}
		return q
	}
	lapsed := able(t, 7, "Lapsed")
	lapsed.Approvals[0].Status = team.StatusLapsed
	away := able(t, 8, "Away")
	away.Absences = []team.Absence{{From: date(t, "2027-03-15"), To: date(t, "2027-03-15"), Note: "wedding"}}
	people := []team.Qualification{
		led(able(t, 3, "Two lately"), "2027-02-01", "2027-02-08"),
		led(able(t, 4, "One lately"), "2027-02-20"),
		led(able(t, 5, "One longer ago"), "2027-01-20"),
		led(able(t, 6, "None since a year"), "2026-02-20"),
		able(t, 9, "Never"),
		lapsed, away, able(t, 2, "Ines Calder"), able(t, 10, "Busy"), {Account: 11, Name: "Unknown"},
	}
	busy := staffing.Duty{Account: 10, Hike: 99, Title: "Early loop", Role: team.Sweep, Meet: h.Meet,
		Finish: h.Start.Add(time.Hour)}
	c := staffing.Crew{Hike: h, Trail: tr, Kinds: kinds()}
	var free []string
	why := map[string]string{}
	for _, x := range c.Candidates(team.Leader, people, []staffing.Duty{busy}, trail.Roads{}, today) {
		if x.Free() {
			free = append(free, x.Name)
		} else {
			why[x.Name] = strings.Join(x.WhyNot, "; ")
		}
	}
	if diff := cmp.Diff([]string{"Never", "None since a year", "One longer ago", "One lately", "Two lately"},
		free); diff != "" {
		t.Errorf("fair order (-want +got):\n%s", diff)
	}
	for name, want := range map[string]string{
		"Lapsed": "is lapsed", "Away": "cannot: 15 Mar 2027, wedding", "Ines Calder": "on this hike already, as sweep",
		"Busy":    "and Early loop meets at 06:30",
		"Unknown": "no qualification on record",
	} {
		if !strings.Contains(why[name], want) {
			t.Errorf("%s: %q, want %q", name, why[name], want)
		}
	}
}
