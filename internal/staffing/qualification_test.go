package staffing_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func date(t testing.TB, s string) unit.Date {
	t.Helper()
	d, err := unit.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const firstAid = "wilderness first aid"

// kinds are the certificates asked for in these tests. First aid may be another leader's.
func kinds() []team.CertificateKind {
	return []team.CertificateKind{
		{Name: firstAid, Leader: true, Shared: true},
		{Name: "CPR", Leader: true, Sweep: true},
		{Name: "youth safety", Leader: true, Sweep: true, Minors: true},
	}
}

// able is a person who may lead anything, with certificates to the end of 2028.
func able(t testing.TB, account ref.Account, name string) team.Qualification {
	end := date(t, "2028-12-31")
	return team.Qualification{Account: account, Name: name,
		Approvals: []team.Approval{{ID: 1, From: date(t, "2025-01-01"), Level: team.LevelLeader,
			MaxClass:     track.VeryStrenuous,
			Endorsements: team.Endorsements(), Status: team.StatusActive}},
		Certificates: []team.Certificate{{ID: 1, Kind: firstAid, Through: end}, {ID: 2, Kind: "CPR", Through: end},
			{ID: 3, Kind: "youth safety", Through: end}},
	}
}

func asking(t testing.TB, day string) team.Asking {
	return team.Asking{Day: date(t, day), Role: team.Leader, Class: track.Moderate}
}

func TestCertificateIsValidThroughItsLastDay(t *testing.T) {
	phoenix, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name    string
		through string
		at      time.Time // when the hike starts
		want    bool
	}{
		{"the day before", "2027-03-14", time.Date(2027, 3, 13, 7, 0, 0, 0, phoenix), true},
		{"the last day", "2027-03-14", time.Date(2027, 3, 14, 7, 0, 0, 0, phoenix), true},
		{"the last minute of the last day", "2027-03-14", time.Date(2027, 3, 14, 23, 59, 0, 0, phoenix), true},
		{"midnight after it", "2027-03-14", time.Date(2027, 3, 15, 0, 0, 0, 0, phoenix), false},
		{"the next morning", "2027-03-14", time.Date(2027, 3, 15, 7, 0, 0, 0, phoenix), false},
		{"the last evening there, when it is the next day in UTC",
			"2027-03-14", time.Date(2027, 3, 15, 2, 0, 0, 0, time.UTC).In(phoenix), true},
		{"no last day", "", time.Date(2037, 3, 15, 7, 0, 0, 0, phoenix), true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := team.Certificate{Kind: firstAid}
			if tt.through != "" {
				c.Through = date(t, tt.through)
			}
			if got := c.ValidOn(unit.DateOf(tt.at)); got != tt.want {
				t.Errorf("through %s, hike %s: valid %v, want %v", tt.through, tt.at, got, tt.want)
			}
		})
	}
}

func TestStandingIsDated(t *testing.T) {
	q := able(t, 1, "Ash Moreno")
	q.Approvals = append(q.Approvals,
		team.Approval{ID: 2, From: date(t, "2027-03-01"), Level: team.LevelLeader, MaxClass: track.Strenuous,
			Status: team.StatusLapsed, Reason: "not led for four years"},
		team.Approval{ID: 3, From: date(t, "2027-04-01"), Level: team.LevelSweep, MaxClass: track.Moderate,
			Status: team.StatusActive},
		team.Approval{ID: 4, From: date(t, "2027-04-01"), Level: team.LevelLeader, MaxClass: track.Strenuous,
			Status: team.StatusProvisional},
	)
	tests := []struct {
		name, day string
		has       bool
		want      team.Status
	}{
		{"before the first there is none", "2024-12-31", false, ""},
		{"on its first day", "2025-01-01", true, team.StatusActive},
		{"the day before the lapse stays legal", "2027-02-28", true, team.StatusActive},
		{"the day of the lapse", "2027-03-01", true, team.StatusLapsed},
		{"of two from one day the later written", "2027-04-01", true, team.StatusProvisional},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, has := q.On(date(t, tt.day))
			if has != tt.has || s.Status != tt.want {
				t.Errorf("On(%s) = %q, %v, want %q, %v", tt.day, s.Status, has, tt.want, tt.has)
			}
		})
	}
}

func TestFit(t *testing.T) {
	standing := func(change func(*team.Approval)) func(*team.Qualification) {
		return func(q *team.Qualification) { change(&q.Approvals[0]) }
	}
	tests := []struct {
		name   string
		change func(*team.Qualification)
		ask    func(*team.Asking)
		want   string // part of the reasons; empty for qualified
	}{
		{"a leader in order", nil, nil, ""},
		{"nothing on record is not known", func(q *team.Qualification) { q.Approvals, q.Certificates = nil, nil }, nil,
			"no qualification on record"},
		{"certificates without a level", func(q *team.Qualification) { q.Approvals = nil }, nil, "no level"},
		{"lapsed", standing(func(s *team.Approval) { s.Status = team.StatusLapsed }), nil,
			"is lapsed since 1 Jan 2025"},
		{"suspended", standing(func(s *team.Approval) { s.Status = team.StatusSuspended }), nil, "is suspended"},
		{"provisional leads only with another", standing(func(s *team.Approval) { s.Status = team.StatusProvisional }),
			nil, "is provisional"},
		{"provisional may sweep", standing(func(s *team.Approval) { s.Status = team.StatusProvisional }),
			func(a *team.Asking) { a.Role = team.Sweep }, ""},
		{"a mentor leads", standing(func(s *team.Approval) { s.Level = team.LevelMentor }), nil, ""},
		{"an assistant does not", standing(func(s *team.Approval) { s.Level = team.LevelAssistant }), nil,
			"must be at least leader"},
		{"an assistant sweeps", standing(func(s *team.Approval) { s.Level = team.LevelAssistant }),
			func(a *team.Asking) { a.Role = team.Sweep }, ""},
		{"a sweep sweeps", standing(func(s *team.Approval) { s.Level = team.LevelSweep }),
			func(a *team.Asking) { a.Role = team.Sweep }, ""},
		{"a candidate does not", standing(func(s *team.Approval) { s.Level = team.LevelCandidate }),
			func(a *team.Asking) { a.Role = team.Sweep }, "must be at least sweep"},
		{"up to their class", standing(func(s *team.Approval) { s.MaxClass = track.Moderate }), nil, ""},
		{"not above it", standing(func(s *team.Approval) { s.MaxClass = track.Easiest }), nil, "may go up to easiest"},
		{"rough ground wants its endorsement", standing(func(s *team.Approval) { s.Endorsements = nil }),
			func(a *team.Asking) { a.Endorsements = []team.Endorsement{team.RoughGround} },
			"not endorsed for rough ground"},
		{"of the leader only", standing(func(s *team.Approval) { s.Endorsements = nil }),
			func(a *team.Asking) { a.Role, a.Endorsements = team.Sweep, []team.Endorsement{team.RoughGround} }, ""},
		{"a paper is missing", func(q *team.Qualification) { q.Certificates = q.Certificates[:1] }, nil, "has no CPR"},
		{"a paper for minors matters with minors", func(q *team.Qualification) { q.Certificates = q.Certificates[:2] },
			func(a *team.Asking) { a.Minors = true }, "has no youth safety"},
		{"and not without", func(q *team.Qualification) { q.Certificates = q.Certificates[:2] }, nil, ""},
		{"the later of two papers counts", func(q *team.Qualification) {
			q.Certificates = append(q.Certificates,
				team.Certificate{ID: 9, Kind: "CPR", Through: date(t, "2026-01-01")})
		}, nil, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			q, a := able(t, 1, "Ash Moreno"), asking(t, "2027-03-15")
			if tt.change != nil {
				tt.change(&q)
			}
			if tt.ask != nil {
				tt.ask(&a)
			}
			f := q.Fit(a, kinds())
			why := strings.Join(f.Why(), "; ")
			if f.Qualified() != (tt.want == "") || !strings.Contains(why, tt.want) {
				t.Errorf("Fit = qualified %v, %q, want %q", f.Qualified(), why, tt.want)
			}
		})
	}
}

func TestLedIsCountedFromClosedHikes(t *testing.T) {
	day := func(s string) time.Time { return date(t, s).Time().Add(14 * time.Hour) }
	q := team.Qualification{Walked: []team.Walked{
		{Role: team.Leader, Start: day("2025-03-15")}, // two years before, to the day
		{Role: team.Leader, Start: day("2026-03-14")}, // a year and a day
		{Role: team.Leader, Start: day("2026-03-15")}, // a year, to the day
		{Role: team.Sweep, Start: day("2027-01-01")},
		{Role: team.Leader, Start: day("2027-02-01")},
	}}
	on := date(t, "2027-03-15")
	if got := [2]int{q.Led(on, 12), q.Led(on, 24)}; got != [2]int{2, 4} {
		t.Errorf("led in 12 and 24 months: %v, want [2 4]", got)
	}
	if got, want := q.LastLed(), date(t, "2027-02-01"); got != want {
		t.Errorf("last led %s, want %s", got, want)
	}
}

// dawn is a moderate hike at 07:00 on a day in Phoenix, on firm ground.
func dawn(t testing.TB, day string) (hike.Hike, trail.Trail) {
	t.Helper()
	tr := trail.Trail{ID: 1, Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm,
		Profile: track.Profile{Length: 5 * unit.Mile, Ascent: 800 * unit.Foot}}
	d := date(t, day)
	start := time.Date(d.Year, d.Month, d.Day, 7, 0, 0, 0, tr.Location())
	return hike.Hike{ID: 7, Trail: 1, Title: "Dry Fork at dawn",
		OnCall: team.Contact{Name: "Rosa Lind", Email: "rosa@example.org"},
		Meet:   start.Add(-30 * time.Minute), Start: start,
		Places: 12, State: hike.Draft,
		Staff: []team.Staff{
			{Person: "a", Account: 1, Name: "Ash Moreno", Role: team.Leader, Answer: team.AnswerAccepted},
			{Person: "b", Account: 2, Name: "Ines Calder", Role: team.Sweep, Answer: team.AnswerAccepted},
		}}, tr
}

// First aid is valid through 14 March, and a hike on 15 March was
// scheduled on 10 January.
func TestCertificateEdge(t *testing.T) {
	crew := func(day string, shared bool, helper func(*team.Qualification)) staffing.Crew {
		h, tr := dawn(t, day)
		lead, sweep := able(t, 1, "Ash Moreno"), able(t, 2, "Ines Calder")
		lead.Certificates[0].Through = date(t, "2027-03-14")
		sweep.Approvals[0].Level = team.LevelSweep
		if helper != nil {
			helper(&sweep)
		}
		rule := kinds()
		rule[0].Shared = shared
		return staffing.Crew{Hike: h, Trail: tr, Kinds: rule,
			People: map[ref.Account]team.Qualification{1: lead, 2: sweep}}
	}
	leader := func(q *team.Qualification) { q.Approvals[0].Level = team.LevelLeader }
	tests := []struct {
		name    string
		crew    staffing.Crew
		blocked bool
		warned  bool
	}{
		{"the hike on the last day is valid", crew("2027-03-14", true, nil), false, false},
		{"the hike on the next day is blocked", crew("2027-03-15", true, nil), true, true},
		{"a sweep who holds it is no leader", crew("2027-03-15", true, func(*team.Qualification) {}), true, true},
		{"another leader who holds it makes up", crew("2027-03-15", true, leader), false, true},
		{"unless the rule does not permit it", crew("2027-03-15", false, leader), true, true},
		{"or theirs has ended too", crew("2027-03-15", true, func(q *team.Qualification) {
			leader(q)
			q.Certificates[0].Through = date(t, "2027-03-14")
		}), true, true},
		{"or they are suspended", crew("2027-03-15", true, func(q *team.Qualification) {
			leader(q)
			q.Approvals[0].Status = team.StatusSuspended
		}), true, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := tt.crew.MayPost(); (err != nil) != tt.blocked {
				t.Errorf("MayPost = %v, want blocked %v", err, tt.blocked)
			}
			if w := tt.crew.Warnings(); (len(w) > 0) != tt.warned {
				t.Errorf("warned when scheduled: %q, want %v", w, tt.warned)
			}
		})
	}
}

func TestCertificateEdgeIsWarnedOnTheWay(t *testing.T) {
	h, tr := dawn(t, "2027-03-15")
	lead := able(t, 1, "Ash Moreno")
	lead.Certificates[0].Through = date(t, "2027-03-14")
	c := staffing.Crew{Hike: h, Trail: tr, Kinds: kinds(),
		People: map[ref.Account]team.Qualification{1: lead, 2: able(t, 2, "Ines Calder")}}
	keys := map[string]int{}
	var days []string
	// Every noon in UTC from the day it was scheduled.
	for now := time.Date(2027, 1, 10, 12, 0, 0, 0,
		time.UTC); now.Before(h.Start.Add(48 * time.Hour)); now = now.AddDate(0, 0, 1) {
		for _, r := range c.Reminders(now) {
			if keys[r.Key]++; keys[r.Key] == 1 {
				days = append(days, now.Format("2 Jan"))
			}
		}
	}
	if diff := cmp.Diff([]string{"14 Jan", "13 Feb", "8 Mar"}, days); diff != "" {
		t.Errorf("first told (-want +got):\n%s", diff) // T-60, T-30, T-7
	}
	if w := c.Warnings(); len(w) != 1 || !strings.Contains(w[0], "through 14 Mar 2027 only") {
		t.Errorf("warned at scheduling: %q", w)
	}
}

func TestReminderStep(t *testing.T) {
	tests := []struct{ days, want int }{{61, 0}, {60, 60}, {31, 60}, {30, 30}, {8, 30}, {7, 7}, {0, 7}, {-1, 0}}
	for _, tt := range tests {
		if got := staffing.ReminderStep(tt.days); got != tt.want {
			t.Errorf("ReminderStep(%d) = %d, want %d", tt.days, got, tt.want)
		}
	}
}

func TestCertificateReminders(t *testing.T) {
	q := able(t, 1, "Ash Moreno")
	q.Certificates = []team.Certificate{
		{ID: 1, Kind: firstAid, Through: date(t, "2027-03-14")},
		{ID: 2, Kind: "CPR", Through: date(t, "2027-03-14")},
		{ID: 3, Kind: "CPR", Through: date(t, "2029-03-14")}, // renewed: the older one is no matter any more
		{ID: 4, Kind: "leader agreement"},                    // never ends
	}
	got := staffing.CertificateReminders([]team.Qualification{q}, date(t, "2027-02-12"))
	if len(got) != 1 || got[0].Kind != firstAid || got[0].Step != 30 || got[0].Days != 30 {
		t.Errorf("reminders %+v, want first aid at 30 days", got)
	}
}
