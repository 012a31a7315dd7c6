package hike_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

var asked = time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)

// walkerOf returns somebody who needs no talk, with the changes that a test is about.
func walkerOf(change ...func(*signup.SignUp)) signup.SignUp {
	s := signup.SignUp{ID: "1", State: signup.Confirmed, Name: "Amaya Reyes", Email: "amaya@example.org",
		Mobile: "602-555-0144", EmergencyName: "Teo Reyes", EmergencyPhone: "480-555-0155",
		LongestWalk: "On the ridge, fine after", HotDays: 5, Water: 4, Acknowledged: true, Asked: asked,
		SelfReport: signup.SelfReport{Walk: signup.Outing{Distance: 9000, Ascent: 300, Took: 3 * time.Hour},
			WalkAgo: 14, LivesHere: true, HotBefore: true, Shoes: "boots"}}
	for _, c := range change {
		c(&s)
	}
	return s
}

// Emergency contacts that are none, and their edges.
func TestEmergencyContact(t *testing.T) {
	spouse := walkerOf(func(s *signup.SignUp) { s.ID, s.Name, s.Mobile = "2", "Teo Reyes", "+1 480 555 0155" })
	for _, tt := range []struct {
		name, number string
		region       string
		refused      string // part of the message beside the field
		unfit        string // what the roll says
	}{
		{"ten digits", "480-555-0155", "US", "", ""},
		{"nine digits where local numbers have ten", "480-555-015", "US", "too few", ""},
		{"eleven digits", "480-555-01556", "US", "too many", ""},
		{"seven digits without area code", "555-0155", "US", "too few", ""},
		{"no such area", "155-555-0155", "US", "No number like this", ""},
		{"own number", "602-555-0144", "US", "your own number", ""},
		{"own number with country code", "+1 602 555 0144", "US", "your own number", ""},
		{"foreign with country code", "+49 30 123456", "US", "", ""},
		{"foreign without country code", "030 1234567", "US", "country code", ""},
		{"foreign local number with its region's code from elsewhere", "+1 480 555 0155", "AU", "", ""},
		{"region not known, without code", "480-555-0155", "", "country code", ""},
		{"words", "call my wife", "US", "area code", ""},
		{"nothing", "", "US", "area code", ""},
		{"number of another walker", "(480) 555-0155", "US", "", "the emergency contact is on this hike"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := walkerOf(func(s *signup.SignUp) { s.EmergencyPhone = tt.number })
			if tt.region != "US" {
				s.Mobile = "+1 602-555-0144"
			}
			err := s.Check(tt.region)
			v, _ := err.(fault.Invalid)
			if tt.refused == "" && err != nil || tt.refused != "" && !strings.Contains(v["contact_tel"], tt.refused) {
				t.Fatalf("%q in %q: %v, want refused with %q", tt.number, tt.region, err, tt.refused)
			}
			if tt.unfit == "" {
				return
			}
			if got := strings.Join(signup.Unfit(s, []signup.SignUp{s, spouse}, nil), "; "); got != tt.unfit {
				t.Errorf("unfit %q, want %q", got, tt.unfit)
			}
			s.EmergencyPhone = "480-555-0199"
			if got := signup.Unfit(s, []signup.SignUp{s, spouse}, nil); len(got) != 0 {
				t.Errorf("replaced, and still unfit: %q", got)
			}
		})
	}
}

func TestContactOnTheStaffOrWithdrawn(t *testing.T) {
	s := walkerOf()
	staff := []team.Staff{{Name: "Teo Reyes", Phone: "480 555 0155"}}
	if got := signup.Unfit(s, nil, staff); len(got) != 1 {
		t.Errorf("contact on the staff: %q", got)
	}
	gone := walkerOf(func(s *signup.SignUp) { s.ID, s.Mobile, s.State = "2", "480 555 0155", signup.Withdrawn })
	if got := signup.Unfit(s, []signup.SignUp{gone}, nil); len(got) != 0 {
		t.Errorf("contact has withdrawn and stays at home: %q", got)
	}
}

// What people type is normalized: names, addresses and phone numbers.
func TestCheckPutsTextsIntoOneForm(t *testing.T) {
	s := walkerOf(func(s *signup.SignUp) {
		s.Name, s.Email, s.Mobile = " Amaya\u202e  Reyes", "Amaya@Example.ORG", "(602) 555.0144"
		s.EmergencyName, s.ContactEmail = "Teo\u200b Reyes", "teo@B\u00fccher.example"
		s.Minor, s.Adult, s.Consented = true, "Ines  Calder", asked
		s.Guardian, s.GuardianPhone = "Berit\tHolt", "928-555-0101"
	})
	if err := s.Check("US"); err != nil {
		t.Fatal(err)
	}
	got := []string{
		s.Name, s.Email, s.Mobile, s.EmergencyName, s.EmergencyPhone, s.ContactEmail, s.Guardian, s.GuardianPhone,
		s.Adult,
	}
	want := []string{
		"Amaya Reyes", "Amaya@example.org", "+1 602-555-0144", "Teo Reyes", "+1 480-555-0155",
		"teo@xn--bcher-kva.example", "Berit Holt", "+1 928-555-0101", "Ines Calder",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("kept (-want +got):\n%s", diff)
	}
}

func TestCheckRefuses(t *testing.T) {
	for _, tt := range []struct {
		name, field string
		change      func(*signup.SignUp)
	}{
		{"name that nobody can see", "name", func(s *signup.SignUp) { s.Name = "\u200b\u3164" }},
		{"name of 121 letters", "name", func(s *signup.SignUp) { s.Name = strings.Repeat("\u00e9", 121) }},
		{"address without a domain's dot", "email", func(s *signup.SignUp) { s.Email = "jane@gmail" }},
		{"address with a name", "email", func(s *signup.SignUp) { s.Email = "Jane <jane@example.org>" }},
		{"contact's address in the house", "contact_email",
			func(s *signup.SignUp) { s.ContactEmail = "boss@intranet" }},
		{"needs of 2001 letters", "needs", func(s *signup.SignUp) { s.Needs = strings.Repeat("\u00e9", 2001) }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := walkerOf(tt.change)
			if v, _ := s.Check("US").(fault.Invalid); v[tt.field] == "" || len(v) != 1 {
				t.Errorf("faults %v, want one of %s", v, tt.field)
			}
		})
	}
	s := walkerOf(func(s *signup.SignUp) {
		s.Name, s.Needs = strings.Repeat("\u00e9", 120), strings.Repeat("\u00e9", 2000)
	})
	if err := s.Check("US"); err != nil {
		t.Errorf("letters are counted, not bytes: %v", err)
	}
}

func TestMinors(t *testing.T) {
	child := func(id string) signup.SignUp {
		return walkerOf(func(s *signup.SignUp) {
			s.ID, s.Minor, s.Name, s.Adult = id, true, "Child "+id, "amaya  reyes"
			s.Guardian, s.GuardianPhone, s.Consented = "Berit Holt", "928-555-0101", asked
		})
	}
	amaya := walkerOf()
	for _, tt := range []struct {
		name   string
		child  signup.SignUp
		others []signup.SignUp
		want   string
	}{
		{"adult on the hike", child("9"), []signup.SignUp{amaya}, ""},
		{"adult not on the hike", child("9"), nil, "Nobody of this name"},
		{"adult is the hike's own staff", func() signup.SignUp {
			c := child("9")
			c.Adult = "Ines Calder"
			return c
		}(),
			nil, ""},
		{"adult is a minor", child("9"), []signup.SignUp{walkerOf(func(s *signup.SignUp) { s.Minor = true })},
			"Nobody of this name"},
		{"third child", child("9"), []signup.SignUp{amaya, child("2"), child("3")}, ""},
		{"fourth child", child("9"), []signup.SignUp{amaya, child("2"), child("3"), child("4")},
			"no adult answers for more"},
		{"fourth after one withdrew", child("9"), []signup.SignUp{amaya, child("2"), child("3"),
			func() signup.SignUp {
				c := child("4")
				c.State = signup.Withdrawn
				return c
			}()}, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := hike.Hike{Staff: []team.Staff{{Name: "Ines Calder"}}}
			v, _ := hike.AssignAdult(&tt.child, h, tt.others).(fault.Invalid)
			if got := v["adult"]; !strings.Contains(got, tt.want) || tt.want == "" && got != "" {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
	alone := child("9")
	if got := signup.AloneWithChild(alone, []signup.SignUp{amaya, alone}, nil); !strings.Contains(got,
		"in a car either") {
		t.Errorf("one child that is not theirs: %q", got)
	}
	if got := signup.AloneWithChild(alone, []signup.SignUp{amaya, alone, child("2")}, nil); got != "" {
		t.Errorf("two children: %q", got)
	}
	alone.Guardian = "Amaya Reyes"
	if got := signup.AloneWithChild(alone, []signup.SignUp{amaya, alone}, nil); got != "" {
		t.Errorf("their own child: %q", got)
	}
	without := child("9")
	without.Consented = time.Time{}
	if v, _ := without.Check("US").(fault.Invalid); v["consent"] == "" {
		t.Error("a minor without the guardian's consent is taken")
	}
}

func TestTalkFirst(t *testing.T) {
	way := trail.Trail{Profile: track.Profile{Length: 10 * unit.Kilometre, Ascent: 400}}
	hard := trail.Trail{Profile: track.Profile{Length: 16 * unit.Kilometre, Ascent: 1000}} // number 255
	hot := &plan.Plan{}
	hot.Heat.PeakAir = unit.Celsius(35)
	cool := &plan.Plan{}
	cool.Heat.PeakAir = unit.Celsius(15)
	for _, tt := range []struct {
		name  string
		trail trail.Trail
		plan  *plan.Plan
		tell  func(*signup.SignUp)
		want  []string // how each reason begins
	}{
		{"nothing to talk over", way, hot, func(*signup.SignUp) {}, nil},
		{"exactly 60 %", way, hot,
			func(s *signup.SignUp) { s.SelfReport.Walk = signup.Outing{Distance: 6000, Ascent: 240} }, nil},
		{"distance just short", way, hot, func(s *signup.SignUp) {
			s.SelfReport.Walk = signup.Outing{Distance: 5999,
				Ascent: 240}
		}, []string{"No walk"}},
		{"climb just short", way, hot, func(s *signup.SignUp) {
			s.SelfReport.Walk = signup.Outing{Distance: 9000,
				Ascent: 239}
		}, []string{"No walk"}},
		{"eight weeks ago", way, hot, func(s *signup.SignUp) { s.SelfReport.WalkAgo = 56 }, nil},
		{"longer ago", way, hot, func(s *signup.SignUp) { s.SelfReport.WalkAgo = 57 }, []string{"No walk"}},
		{"heat history", way, cool, func(s *signup.SignUp) { s.SelfReport.HeatIll = true }, []string{"Heat has"}},
		{"health", way, hot, func(s *signup.SignUp) { s.SelfReport.Health = true }, []string{"There is"}},
		{"new here", way, hot, func(s *signup.SignUp) { s.SelfReport.LivesHere, s.SelfReport.Here = false, 3 },
			[]string{"The heat"}},
		{"new here on a cool day", way, cool,
			func(s *signup.SignUp) { s.SelfReport.LivesHere, s.SelfReport.Here = false, 3 }, nil},
		{"new here, no plan yet", way, nil,
			func(s *signup.SignUp) { s.SelfReport.LivesHere, s.SelfReport.Here = false, 3 }, []string{"The heat"}},
		{"never in heat", way, hot, func(s *signup.SignUp) { s.SelfReport.HotBefore = false }, []string{"The heat"}},
		{"minor", way, hot, func(s *signup.SignUp) { s.Minor = true }, []string{"They are under age"}},
		{"old with evidence", hard, hot, func(s *signup.SignUp) {
			s.SelfReport.Older, s.SelfReport.Walk = true, signup.Outing{Distance: 12000, Ascent: 700}
		}, nil},
		{"old without evidence, strenuous", hard, hot, func(s *signup.SignUp) { s.SelfReport.Older = true },
			[]string{"No walk", "From the age of 70"}},
		{"old without evidence, not strenuous", way, hot,
			func(s *signup.SignUp) { s.SelfReport.Older, s.SelfReport.Walk = true, signup.Outing{} },
			[]string{"No walk"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := signup.TalkFirst(walkerOf(tt.tell), tt.trail, tt.plan, rules.DefaultRules())
			if len(got) != len(tt.want) {
				t.Fatalf("got %q, want %q", got, tt.want)
			}
			for i := range got {
				if !strings.HasPrefix(got[i], tt.want[i]) {
					t.Errorf("got %q, want %q", got[i], tt.want[i])
				}
			}
		})
	}
}

func TestScreen(t *testing.T) {
	held, past := asked.Add(time.Hour), asked.Add(-time.Hour)
	criterion := signup.Criteria()[0]
	for _, tt := range []struct {
		name    string
		from    signup.State
		held    time.Time
		to      signup.Screening
		want    signup.State
		refused string // the field
	}{
		{"fits, place held", signup.Asked, held, signup.Screening{Outcome: signup.Fits}, signup.Confirmed, ""},
		{"fits, place gone", signup.Asked, past, signup.Screening{Outcome: signup.Fits}, signup.Waiting, ""},
		{"fits after a refusal", signup.TurnedAway, time.Time{}, signup.Screening{Outcome: signup.Fits}, signup.Waiting,
			""},
		{"another talk", signup.Asked, held, signup.Screening{Outcome: signup.TalkAgain}, signup.Asked, ""},
		{"reopened", signup.TurnedAway, time.Time{}, signup.Screening{Outcome: signup.TalkAgain}, signup.Asked, ""},
		{"declined", signup.Asked, held, signup.Screening{Outcome: signup.Declined, Reason: "The walk asks for more.",
			Criterion: criterion}, signup.TurnedAway, ""},
		{"declined without a reason", signup.Asked, held,
			signup.Screening{Outcome: signup.Declined, Criterion: criterion}, signup.Asked, "reason"},
		{"declined by an own criterion", signup.Asked, held,
			signup.Screening{Outcome: signup.Declined, Reason: "No.", Criterion: "age"}, signup.Asked, "criterion"},
		{"another suggested", signup.Asked, held, signup.Screening{Outcome: signup.SuggestAnother,
			Reason: "A shorter one fits.", Criterion: criterion}, signup.TurnedAway, ""},
		{"no outcome", signup.Asked, held, signup.Screening{}, signup.Asked, "outcome"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := walkerOf(func(s *signup.SignUp) { s.State, s.HeldUntil = tt.from, tt.held })
			err := s.Screen(tt.to, asked)
			v, _ := err.(fault.Invalid)
			if tt.refused == "" && err != nil || tt.refused != "" && v[tt.refused] == "" {
				t.Fatalf("got %v, want a fault of %q", err, tt.refused)
			}
			if s.State != tt.want {
				t.Errorf("state %s, want %s", s.State, tt.want)
			}
		})
	}
}

func TestServe(t *testing.T) {
	h := hike.Hike{Places: 2, State: hike.Posted, Meet: asked.Add(72 * time.Hour)}
	person := func(id string, state signup.State, held time.Duration, drive time.Duration) signup.SignUp {
		s := signup.SignUp{ID: id, State: state, SelfReport: signup.SelfReport{Drive: drive}}
		if held != 0 {
			s.HeldUntil = asked.Add(held)
		}
		return s
	}
	for _, tt := range []struct {
		name   string
		now    time.Duration
		acting string
		list   []signup.SignUp
		want   map[string]signup.State
	}{
		{"first who waits is offered", 0, "", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Waiting, 0, 0), person("c", signup.Waiting, 0, 0)},
			map[string]signup.State{"b": signup.Offered}},
		{"who is asked is passed over", 0, "", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Asked, 0, 0), person("c", signup.Waiting, 0, 0)},
			map[string]signup.State{"c": signup.Offered}},
		{"a held place is not free", 0, "", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Asked, time.Hour, 0), person("c", signup.Waiting, 0, 0)}, nil},
		{"a lapsed hold is free", 0, "", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Asked, -time.Hour, 0), person("c", signup.Waiting, 0, 0)},
			map[string]signup.State{"c": signup.Offered}},
		{"a lapsed offer goes on", 0, "", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Offered, -time.Hour, 0), person("c", signup.Waiting, 0, 0)},
			map[string]signup.State{"b": signup.Withdrawn, "c": signup.Offered}},
		{"who drives too far is passed over", 67 * time.Hour, "",
			[]signup.SignUp{person("a", signup.Confirmed, 0, 0), person("b", signup.Waiting, 0, 4*time.Hour),
				person("c", signup.Waiting, 0, 30*time.Minute)},
			map[string]signup.State{"c": signup.Offered}},
		{"too late for anybody", 70 * time.Hour, "", []signup.SignUp{person("b", signup.Waiting, 0, 0)}, nil},
		{"who acts is confirmed", 0, "b", []signup.SignUp{person("a", signup.Confirmed, 0, 0),
			person("b", signup.Waiting, 0, 0)}, map[string]signup.State{"b": signup.Confirmed}},
		{"who acts stays behind the others", 0, "c",
			[]signup.SignUp{person("a", signup.Confirmed, 0, 0), person("b", signup.Waiting, 0, 0),
				person("c", signup.Waiting, 0, 0)},
			map[string]signup.State{"b": signup.Offered}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			moved := h.Serve(asked.Add(tt.now), tt.list, tt.acting)
			if len(moved) != len(tt.want) {
				t.Errorf("moved %v, want %v", moved, tt.want)
			}
			for _, s := range moved {
				if tt.want[s.ID] != s.State {
					t.Errorf("%s is %s, want %q", s.ID, s.State, tt.want[s.ID])
				}
				if last := h.LastPromotion(s); s.State == signup.Offered && s.HeldUntil.After(last) {
					t.Errorf("%s has until %v, past %v", s.ID, s.HeldUntil, last)
				}
			}
		})
	}
}

func TestSuggest(t *testing.T) {
	listed := func(id ref.Hike, length, ascent unit.Length, free int) hike.Listed {
		return hike.Listed{Hike: hike.Hike{ID: id, State: hike.Posted, Places: 10, Meet: asked.Add(99 * time.Hour)},
			Confirmed: 10 - free,
			Trail:     trail.Trail{Profile: track.Profile{Length: length, Ascent: ascent}}}
	}
	s := walkerOf(func(s *signup.SignUp) { s.Hike = 1 })
	got := hike.Suggest(s, []hike.Listed{listed(1, 5000, 100, 5), listed(2, 30000, 100, 5), listed(3, 5000, 2000, 5),
		listed(4, 5000, 100, 0), listed(5, 5000, 100, 1)}, asked)
	if len(got) != 1 || got[0].Hike.ID != 5 {
		t.Errorf("suggested %v, want the fifth alone: the same, too long, too steep and full ones are none", got)
	}
}
