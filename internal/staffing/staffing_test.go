package staffing_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
)

// 23 registered, 4 of them minors with 2 responsible adults,
// ratio 1:8, permit for 25 including the staff.
func TestStaffNumber(t *testing.T) {
	registered := staffing.Party{Participants: 23, Minors: 4, Responsible: 2, Cap: 25, CapCountsStaff: true, Persons: 3,
		Qualified: 3, Ratio: 8}
	with := func(change func(*staffing.Party)) staffing.Party {
		p := registered
		change(&p)
		return p
	}
	one := staffing.Cut{People: 1, Minors: 1, Others: 1}
	tests := []struct {
		name                string
		party               staffing.Party
		needed, total, most int
		permit              staffing.Cut
	}{
		{"case 11: cut one, and none of the responsible adults", registered, 3, 26, 22, one},
		{"case 11: two qualified staff lead 16 at most",
			with(func(p *staffing.Party) { p.Qualified, p.Persons = 2, 2 }), 3, 26, 16, one},
		{"persons who are not qualified do not reach the number",
			with(func(p *staffing.Party) { p.Qualified = 2 }), 3, 26, 16, one},
		{"a cap that does not count staff", with(func(p *staffing.Party) { p.CapCountsStaff = false }), 3, 26, 24,
			staffing.Cut{}},
		{"no cap known", with(func(p *staffing.Party) { p.Cap = 0 }), 3, 26, 24, staffing.Cut{}},
		{"exactly at the cap", with(func(p *staffing.Party) { p.Cap = 26 }), 3, 26, 23, staffing.Cut{}},
		{"staff beyond the need take room too",
			with(func(p *staffing.Party) { p.Cap, p.Persons, p.Qualified = 26, 4, 4 }), 3, 26, 22, one},
		{"one responsible adult for four: a minor must go",
			with(func(p *staffing.Party) { p.Responsible, p.Cap = 1, 0 }), 3, 26, 24,
			staffing.Cut{People: 1, Minors: 1, MinorsAtLeast: 1}},
		{"a larger cut may take an adult with a minor", with(func(p *staffing.Party) { p.Cap = 24 }), 3, 26, 21,
			staffing.Cut{People: 2, Minors: 2, Responsible: 1, Others: 2}},
		{"no responsible adult: no minor", with(func(p *staffing.Party) { p.Responsible, p.Cap = 0, 0 }), 3, 26, 24,
			staffing.Cut{People: 4, Minors: 4, MinorsAtLeast: 4}},
		{"nobody qualified", with(func(p *staffing.Party) { p.Qualified = 0 }), 3, 26, 0, one},
		{"one qualified is not two", with(func(p *staffing.Party) { p.Qualified = 1 }), 3, 26, 0, one},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n := tt.party.Number()
			if n.Needed != tt.needed || n.Total != tt.total || n.Most != tt.most || n.Permit != tt.permit {
				t.Errorf("Number = %+v, want needed %d, total %d, most %d, cut %+v",
					n, tt.needed, tt.total, tt.most, tt.permit)
			}
		})
	}
}

func TestStaffNeededAt(t *testing.T) {
	tests := []struct{ participants, want int }{{0, 2}, {1, 2}, {16, 2}, {17, 3}, {23, 3}, {24, 3}, {25, 4}}
	for _, tt := range tests {
		if got := rules.StaffNeededAt(tt.participants, 8); got != tt.want {
			t.Errorf("StaffNeededAt(%d, 8) = %d, want %d", tt.participants, got, tt.want)
		}
	}
}

func TestCutWordsForCase11(t *testing.T) {
	p := staffing.Party{Participants: 23, Minors: 4, Responsible: 2, Cap: 25, CapCountsStaff: true, Persons: 3,
		Qualified: 3, Ratio: 8}
	got := p.Number().Permit.Words(p)
	if want := "1 person must give up a place: 22 are left. None of the 2 adults responsible for the 4 minors may be " +
		"among them."; got != want {
		t.Errorf("Words = %q, want %q", got, want)
	}
}

// After the cut the party is allowed, and a smaller cut would not be enough.
func TestCutIsLegalAndSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := staffing.Party{Minors: rapid.IntRange(0, 8).Draw(t, "minors"),
			Responsible: rapid.IntRange(0, 4).Draw(t, "responsible"),
			Cap:         rapid.IntRange(0, 30).Draw(t, "cap"), CapCountsStaff: rapid.Bool().Draw(t, "counts"),
			Persons: rapid.IntRange(0, 5).Draw(t, "persons"), Ratio: rapid.IntRange(4, 12).Draw(t, "ratio")}
		p.Participants = p.Minors + p.Responsible + rapid.IntRange(0, 20).Draw(t, "others")
		legal := func(q, minors, adults int) bool {
			staff := max(rules.StaffNeededAt(q, p.Ratio), p.Persons)
			room := p.Cap == 0 || q <= p.Cap && (!p.CapCountsStaff || q+staff <= p.Cap)
			return (q == 0 || room) && minors <= 3*adults
		}
		possible := func(cut int) bool {
			for m := 0; m <= min(cut, p.Minors); m++ {
				for a := 0; a <= min(cut-m, p.Responsible); a++ {
					if cut-m-a <= p.Participants-p.Minors-p.Responsible &&
						legal(p.Participants-cut, p.Minors-m, p.Responsible-a) {
						return true
					}
				}
			}
			return false
		}
		c := p.Number().Permit
		if !possible(c.People) {
			t.Fatalf("%+v: a cut of %d is not legal", p, c.People)
		}
		for fewer := range c.People {
			if possible(fewer) {
				t.Fatalf("%+v: cut %d, but %d would do", p, c.People, fewer)
			}
		}
	})
}

func TestAskedIsNotAccepted(t *testing.T) {
	crew := func(change func(*hike.Hike)) staffing.Crew {
		h, tr := dawn(t, "2027-03-15")
		if change != nil {
			change(&h)
		}
		return staffing.Crew{Hike: h, Trail: tr, Kinds: kinds(),
			People: map[ref.Account]team.Qualification{1: able(t, 1, "Ash Moreno"), 2: able(t, 2, "Ines Calder")}}
	}
	tests := []struct {
		name       string
		crew       staffing.Crew
		post, goes string // part of the refusal
	}{
		{"both have accepted", crew(nil), "", ""},
		{"the leader is only asked", crew(func(h *hike.Hike) { h.Staff[0].Answer = team.AnswerAsked }), "asked to lead",
			"asked as leader"},
		{"nobody is on call", crew(func(h *hike.Hike) { h.OnCall = team.Contact{} }), "Nobody is named as on call",
			"Nobody is named as on call"},
		{"on-call whom no alarm reaches", crew(func(h *hike.Hike) {
			h.OnCall = team.Contact{Name: "Aunt May", Phone: "555 0101"}
			h.OnCallAccepted = h.Start
		}), "No alarm can reach Aunt May", "No alarm can reach Aunt May"},
		{"a whole number, and a yes", crew(func(h *hike.Hike) {
			h.OnCall = team.Contact{Name: "Aunt May", Phone: "602 555 0101"}
			h.OnCallAccepted = h.Start
		}), "", ""},
		{"the sweep is only asked: it may be posted, not go",
			crew(func(h *hike.Hike) { h.Staff[1].Answer = team.AnswerAsked }), "", "asked as sweep"},
		{"no sweep: it may be posted, not go", crew(func(h *hike.Hike) { h.Staff = h.Staff[:1] }), "",
			"Nobody is named as sweep"},
		{"nothing on record blocks nothing, and is said elsewhere",
			staffing.Crew{Hike: crew(nil).Hike, Trail: crew(nil).Trail, Kinds: kinds()}, "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			refusal(t, "MayPost", tt.crew.MayPost(), tt.post)
			refusal(t, "MayGo", tt.crew.MayGo(), tt.goes)
		})
	}
}

func refusal(t *testing.T, what string, got error, want string) {
	t.Helper()
	if (got == nil) != (want == "") || got != nil && !strings.Contains(got.Error(), want) {
		t.Errorf("%s = %v, want %q", what, got, want)
	}
}

func TestAnswers(t *testing.T) {
	now := time.Date(2027, 3, 1, 12, 0, 0, 0, time.UTC)
	h, _ := dawn(t, "2027-03-15")
	h.Staff[1].Answer = team.AnswerAsked
	if err := h.Accept("b", now); err != nil || !h.Staff[1].Accepted() || !h.Staff[1].Answered.Equal(now) {
		t.Errorf("Accept: %v, %+v", err, h.Staff[1])
	}
	if _, err := h.Decline("b", " ", now); err == nil {
		t.Error("a decline without a reason is taken")
	}
	d, err := h.Decline("b", "away that week", now)
	if err != nil || d.Account != 2 || d.Because != "away that week" || len(h.Staff) != 1 {
		t.Errorf("Decline: %+v, %v, staff %+v", d, err, h.Staff)
	}
	if h.Accept("b", now) == nil {
		t.Error("somebody who has declined accepts")
	}
}

func TestAnswersHoldForTheQuestionAsked(t *testing.T) {
	before, _ := dawn(t, "2027-03-15")
	tests := []struct {
		name   string
		change func(*hike.Hike)
		want   team.Answer // of the sweep
	}{
		{"another title", func(h *hike.Hike) { h.Title = "Dry Fork" }, team.AnswerAccepted},
		{"another hour", func(h *hike.Hike) { h.Meet, h.Start = h.Meet.Add(time.Hour), h.Start.Add(time.Hour) },
			team.AnswerAsked},
		{"another trail", func(h *hike.Hike) { h.Trail = 2 }, team.AnswerAsked},
		{"another part", func(h *hike.Hike) { h.Staff[1].Role = team.Assistant }, team.AnswerAsked},
		{"another person", func(h *hike.Hike) { h.Staff[1].Account = 3 }, team.AnswerAsked},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			after, _ := dawn(t, "2027-03-15")
			tt.change(&after)
			if got := hike.KeepAnswers(before, after)[1].Answer; got != tt.want {
				t.Errorf("answer %q, want %q", got, tt.want)
			}
		})
	}
}

func TestProvisionalWithoutASecondQualifiedPerson(t *testing.T) {
	h, tr := dawn(t, "2027-03-15")
	lead, second := able(t, 1, "Ash Moreno"), able(t, 2, "Ines Calder")
	c := staffing.Crew{Hike: h, Trail: tr, Kinds: kinds(),
		People: map[ref.Account]team.Qualification{1: lead, 2: second}}
	if why := c.Provisional(); why != "" {
		t.Errorf("two who could lead: provisional, %s", why)
	}
	c.Hike.Staff[1].Answer = team.AnswerAsked
	if why := c.Provisional(); !strings.Contains(why, "no second") {
		t.Errorf("the second is only asked: %q", why)
	}
	c.Hike.Staff[1].Answer = team.AnswerAccepted
	second.Approvals[0].Level = team.LevelSweep
	if why := c.Provisional(); !strings.Contains(why, "no second") {
		t.Errorf("the second cannot lead: %q", why)
	}
	c.People = nil
	if why := c.Provisional(); !strings.Contains(why, "nobody") {
		t.Errorf("nothing on record: %q", why)
	}
}

// Contacts are typed by hand. An address is better evidence than a number, and a number better
// than a name.
func TestPersonOfAContact(t *testing.T) {
	known := []team.Qualification{
		{Account: 1, Name: "Ines Calder", Email: "ines@example.org", Phone: "+1 602-555-0101"},
		{Account: 2, Name: "Oren Vale", Email: "oren@example.org", Phone: "+1 602-555-0102"},
	}
	for _, tt := range []struct {
		name    string
		contact team.Contact
		want    ref.Account
	}{
		{"an address before a name", team.Contact{Name: "Ines Calder", Email: "Oren@example.org"}, 2},
		{"a number before a name", team.Contact{Name: "Ines Calder", Phone: "602 555 0102"}, 2},
		{"a name", team.Contact{Name: " ines  CALDER", Phone: "602 555 0199"}, 1},
		{"nobody", team.Contact{Name: "Rosa Lind"}, 0},
		{"nothing", team.Contact{}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, found := staffing.PersonOf(tt.contact, known)
			if got.Account != tt.want || found != (tt.want != 0) {
				t.Errorf("account %d, %v; want %d", got.Account, found, tt.want)
			}
		})
	}
}

// Two adults with the same name answer for a child each, so there are two responsible adults.
func TestResponsibleAdultsAreCountedByID(t *testing.T) {
	place := func(id string, adult ref.Person) signup.SignUp {
		s := signup.SignUp{ID: id, Name: "Amaya Reyes", State: signup.Confirmed}
		if adult != "" {
			s.Name, s.Minor, s.Adult, s.AdultID, s.Guardian = "Child "+id, true, "Amaya Reyes", adult, "Berit Holt"
		}
		return s
	}
	c := staffing.Crew{Places: []signup.SignUp{place("one", ""), place("two", ""), place("a", "one"),
		place("b", "two")}}
	if got := c.Party(4).Responsible; got != 2 {
		t.Errorf("%d responsible adults, want 2", got)
	}
	c.Places = []signup.SignUp{{ID: "g", Name: "Berit Holt", State: signup.Confirmed}, place("a", "sweep")}
	if got := c.Party(2).Responsible; got != 1 {
		t.Errorf("%d responsible adults where the guardian comes and the adult is on the staff, want 1", got)
	}
}
