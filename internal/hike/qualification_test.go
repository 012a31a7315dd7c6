package hike_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func date(t testing.TB, s string) hike.Date {
	t.Helper()
	d, err := hike.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const firstAid = "wilderness first aid"

// kinds are the house's rule in these tests: first aid may be held by another leader.
func kinds() []hike.CertificateKind {
	return []hike.CertificateKind{
		{Name: firstAid, Leader: true, Shared: true},
		{Name: "CPR", Leader: true, Sweep: true},
		{Name: "youth safety", Leader: true, Sweep: true, Minors: true},
	}
}

// able is a person who may lead anything, with papers to the end of 2028.
func able(t testing.TB, account int64, name string) hike.Qualification {
	end := date(t, "2028-12-31")
	return hike.Qualification{Account: account, Name: name,
		Standings: []hike.Standing{{ID: 1, From: date(t, "2025-01-01"), Level: hike.LevelLeader, MaxClass: track.VeryStrenuous,
			Endorsements: hike.Endorsements(), Status: hike.StatusActive}},
		Certificates: []hike.Certificate{{ID: 1, Kind: firstAid, Through: end}, {ID: 2, Kind: "CPR", Through: end}, {ID: 3, Kind: "youth safety", Through: end}},
	}
}

func asking(t testing.TB, day string) hike.Asking {
	return hike.Asking{Day: date(t, day), Role: hike.Leader, Class: track.Moderate}
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
		{"the last evening there, when it is the next day in UTC", "2027-03-14", time.Date(2027, 3, 15, 2, 0, 0, 0, time.UTC).In(phoenix), true},
		{"no last day", "", time.Date(2037, 3, 15, 7, 0, 0, 0, phoenix), true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := hike.Certificate{Kind: firstAid}
			if tt.through != "" {
				c.Through = date(t, tt.through)
			}
			if got := c.ValidOn(hike.DateOf(tt.at)); got != tt.want {
				t.Errorf("through %s, hike %s: valid %v, want %v", tt.through, tt.at, got, tt.want)
			}
		})
	}
}

func TestStandingIsDated(t *testing.T) {
	q := able(t, 1, "Ash Moreno")
	q.Standings = append(q.Standings,
		hike.Standing{ID: 2, From: date(t, "2027-03-01"), Level: hike.LevelLeader, MaxClass: track.Strenuous, Status: hike.StatusLapsed, Reason: "not led for four years"},
		hike.Standing{ID: 3, From: date(t, "2027-04-01"), Level: hike.LevelSweep, MaxClass: track.Moderate, Status: hike.StatusActive},
		hike.Standing{ID: 4, From: date(t, "2027-04-01"), Level: hike.LevelLeader, MaxClass: track.Strenuous, Status: hike.StatusProvisional},
	)
	tests := []struct {
		name, day string
		has       bool
		want      hike.Status
	}{
		{"before the first there is none", "2024-12-31", false, ""},
		{"on its first day", "2025-01-01", true, hike.StatusActive},
		{"the day before the lapse stays legal", "2027-02-28", true, hike.StatusActive},
		{"the day of the lapse", "2027-03-01", true, hike.StatusLapsed},
		{"of two from one day the later written", "2027-04-01", true, hike.StatusProvisional},
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
	standing := func(change func(*hike.Standing)) func(*hike.Qualification) {
		return func(q *hike.Qualification) { change(&q.Standings[0]) }
	}
	tests := []struct {
		name   string
		change func(*hike.Qualification)
		ask    func(*hike.Asking)
		want   string // part of the reasons; empty for qualified
	}{
		{"a leader in order", nil, nil, ""},
		{"nothing on record is not known", func(q *hike.Qualification) { q.Standings, q.Certificates = nil, nil }, nil, "no qualification on record"},
		{"certificates without a level", func(q *hike.Qualification) { q.Standings = nil }, nil, "no level"},
		{"lapsed", standing(func(s *hike.Standing) { s.Status = hike.StatusLapsed }), nil, "is lapsed since 1 Jan 2025"},
		{"suspended", standing(func(s *hike.Standing) { s.Status = hike.StatusSuspended }), nil, "is suspended"},
		{"provisional leads only with another", standing(func(s *hike.Standing) { s.Status = hike.StatusProvisional }), nil, "is provisional"},
		{"provisional may sweep", standing(func(s *hike.Standing) { s.Status = hike.StatusProvisional }), func(a *hike.Asking) { a.Role = hike.Sweep }, ""},
		{"a mentor leads", standing(func(s *hike.Standing) { s.Level = hike.LevelMentor }), nil, ""},
		{"an assistant does not", standing(func(s *hike.Standing) { s.Level = hike.LevelAssistant }), nil, "must be at least leader"},
		{"an assistant sweeps", standing(func(s *hike.Standing) { s.Level = hike.LevelAssistant }), func(a *hike.Asking) { a.Role = hike.Sweep }, ""},
		{"a sweep sweeps", standing(func(s *hike.Standing) { s.Level = hike.LevelSweep }), func(a *hike.Asking) { a.Role = hike.Sweep }, ""},
		{"a candidate does not", standing(func(s *hike.Standing) { s.Level = hike.LevelCandidate }), func(a *hike.Asking) { a.Role = hike.Sweep }, "must be at least sweep"},
		{"up to their class", standing(func(s *hike.Standing) { s.MaxClass = track.Moderate }), nil, ""},
		{"not above it", standing(func(s *hike.Standing) { s.MaxClass = track.Easiest }), nil, "may go up to easiest"},
		{"rough ground wants its endorsement", standing(func(s *hike.Standing) { s.Endorsements = nil }),
			func(a *hike.Asking) { a.Endorsements = []hike.Endorsement{hike.RoughGround} }, "not endorsed for rough ground"},
		{"of the leader only", standing(func(s *hike.Standing) { s.Endorsements = nil }),
			func(a *hike.Asking) { a.Role, a.Endorsements = hike.Sweep, []hike.Endorsement{hike.RoughGround} }, ""},
		{"a paper is missing", func(q *hike.Qualification) { q.Certificates = q.Certificates[:1] }, nil, "has no CPR"},
		{"a paper for minors matters with minors", func(q *hike.Qualification) { q.Certificates = q.Certificates[:2] }, func(a *hike.Asking) { a.Minors = true }, "has no youth safety"},
		{"and not without", func(q *hike.Qualification) { q.Certificates = q.Certificates[:2] }, nil, ""},
		{"the later of two papers counts", func(q *hike.Qualification) {
			q.Certificates = append(q.Certificates, hike.Certificate{ID: 9, Kind: "CPR", Through: date(t, "2026-01-01")})
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
	q := hike.Qualification{Walked: []hike.Walked{
		{Role: hike.Leader, Start: day("2025-03-15")}, // two years before, to the day
		{Role: hike.Leader, Start: day("2026-03-14")}, // a year and a day
		{Role: hike.Leader, Start: day("2026-03-15")}, // a year, to the day
		{Role: hike.Sweep, Start: day("2027-01-01")},
		{Role: hike.Leader, Start: day("2027-02-01")},
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
func dawn(t testing.TB, day string) (hike.Hike, hike.Trail) {
	t.Helper()
	tr := hike.Trail{ID: 1, Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm,
		Profile: track.Profile{Length: 5 * unit.Mile, Ascent: 800 * unit.Foot}}
	d := date(t, day)
	start := time.Date(d.Year, d.Month, d.Day, 7, 0, 0, 0, tr.Location())
	return hike.Hike{ID: 7, Trail: 1, Title: "Dry Fork at dawn", Meet: start.Add(-30 * time.Minute), Start: start, Places: 12, State: hike.Draft,
		Staff: []hike.Staff{
			{Person: "a", Account: 1, Name: "Ash Moreno", Role: hike.Leader, Answer: hike.AnswerAccepted},
			{Person: "b", Account: 2, Name: "Ines Calder", Role: hike.Sweep, Answer: hike.AnswerAccepted},
		}}, tr
}

// Case 5 of the trade: first aid valid through 14 March, a hike on 15 March that was
// scheduled on 10 January.
func TestCertificateEdge(t *testing.T) {
	crew := func(day string, shared bool, helper func(*hike.Qualification)) hike.Crew {
		h, tr := dawn(t, day)
		lead, sweep := able(t, 1, "Ash Moreno"), able(t, 2, "Ines Calder")
		lead.Certificates[0].Through = date(t, "2027-03-14")
		sweep.Standings[0].Level = hike.LevelSweep
		if helper != nil {
			helper(&sweep)
		}
		rule := kinds()
		rule[0].Shared = shared
		return hike.Crew{Hike: h, Trail: tr, Kinds: rule, People: map[int64]hike.Qualification{1: lead, 2: sweep}}
	}
	leader := func(q *hike.Qualification) { q.Standings[0].Level = hike.LevelLeader }
	tests := []struct {
		name    string
		crew    hike.Crew
		blocked bool
		warned  bool
	}{
		{"the hike on the last day is valid", crew("2027-03-14", true, nil), false, false},
		{"the hike on the next day is blocked", crew("2027-03-15", true, nil), true, true},
		{"a sweep who holds it is no leader", crew("2027-03-15", true, func(q *hike.Qualification) {}), true, true},
		{"another leader who holds it makes up", crew("2027-03-15", true, leader), false, true},
		{"unless the rule does not permit it", crew("2027-03-15", false, leader), true, true},
		{"or theirs has ended too", crew("2027-03-15", true, func(q *hike.Qualification) {
			leader(q)
			q.Certificates[0].Through = date(t, "2027-03-14")
		}), true, true},
		{"or they are suspended", crew("2027-03-15", true, func(q *hike.Qualification) {
			leader(q)
			q.Standings[0].Status = hike.StatusSuspended
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
	c := hike.Crew{Hike: h, Trail: tr, Kinds: kinds(), People: map[int64]hike.Qualification{1: lead, 2: able(t, 2, "Ines Calder")}}
	keys := map[string]int{}
	var days []string
	// Each noon in UTC from the scheduling on.
	for now := time.Date(2027, 1, 10, 12, 0, 0, 0, time.UTC); now.Before(h.Start.Add(48 * time.Hour)); now = now.AddDate(0, 0, 1) {
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
		if got := hike.ReminderStep(tt.days); got != tt.want {
			t.Errorf("ReminderStep(%d) = %d, want %d", tt.days, got, tt.want)
		}
	}
}

func TestCertificateReminders(t *testing.T) {
	q := able(t, 1, "Ash Moreno")
	q.Certificates = []hike.Certificate{
		{ID: 1, Kind: firstAid, Through: date(t, "2027-03-14")},
		{ID: 2, Kind: "CPR", Through: date(t, "2027-03-14")},
		{ID: 3, Kind: "CPR", Through: date(t, "2029-03-14")}, // renewed: the older one is no matter any more
		{ID: 4, Kind: "leader agreement"},                    // never ends
	}
	got := hike.CertificateReminders([]hike.Qualification{q}, date(t, "2027-02-12"))
	if len(got) != 1 || got[0].Kind != firstAid || got[0].Step != 30 || got[0].Days != 30 {
		t.Errorf("reminders %+v, want first aid at 30 days", got)
	}
}
