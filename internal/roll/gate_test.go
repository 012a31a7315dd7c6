package roll_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

// ready returns the roll of n people who are all here with enough water. The last is a
// minor, and the one before is responsible for them.
func ready(n int) (roll.Record, *script) {
	var s script
	r := roster(n)
	r[n-1].Minor, r[n-2].ResponsibleFor = true, people(n, n)
	s.Named(party.KindHere, 40, people(1, n)...)
	s.Add(party.KindWater, 45, func(e *party.Event) { e.Persons, e.Litres = people(1, n), 5 })
	onCall := team.Contact{Name: "Oren Vale", Email: "oren@example.org"}
	goes := hike.Decision{Go: true, Outcome: hike.Goes, By: "Walker 01", At: clock(-600)}
	rec := roll.Record{Roster: r, Hike: hike.Hike{State: hike.Posted, OnCall: onCall, Decision: goes, Start: clock(60)},
		Terms: party.Terms{PermitCap: 25, PermitStaff: true, Planned: true, Full: party.Way{Need: 5},
			Short: &party.Way{Name: "Shade Rock", Need: 3}}}
	return rec, &s
}

func TestGate(t *testing.T) {
	tests := []struct {
		name   string
		change func(*roll.Record, *script)
		title  string
		want   party.Grade
		words  string
	}{
		{"unmarked are named", func(r *roll.Record, _ *script) {
			r.Roster = append(r.Roster, party.Entry{ID: person(99), Name: "Late Example"})
		},
			"Roll complete", party.Block, "Late Example"},
		{"no leader", func(r *roll.Record, _ *script) { r.Roster[0].Role = "assistant" }, "Staff", party.Block,
			"leader"},
		{"one of staff", func(r *roll.Record, _ *script) { r.Roster[1].Staff, r.Roster[2].Staff = false, false },
			"Staff", party.Block, "needs 2 staff"},
		{"permit with staff", func(r *roll.Record, _ *script) { r.Terms.PermitCap = 9 }, "Permit", party.Block,
			"allows 9, staff counted; 10"},
		{"permit without staff", func(r *roll.Record, _ *script) { r.Terms.PermitCap, r.Terms.PermitStaff = 7, false },
			"Permit", party.Fine, "7 of the 7"},
		{"permit not known", func(r *roll.Record, _ *script) { r.Terms.PermitCap = 0 }, "Permit", party.NotKnown,
			"No largest party"},
		{"minor without adult", func(r *roll.Record, _ *script) { r.Roster[8].ResponsibleFor = nil }, "Minors",
			party.Block, "no responsible adult"},
		{"minor given to an adult here", func(r *roll.Record, s *script) {
			r.Roster[8].ResponsibleFor = nil
			s.Add(party.KindInCharge, 50, func(e *party.Event) { e.Persons, e.Buddies = people(10, 10), people(5, 5) })
		}, "Minors", party.Fine, "each with an adult"},
		{"four minors to one adult", func(r *roll.Record, s *script) {
			for i := 6; i <= 9; i++ {
				r.Roster[i-1].Minor = true
			}
			r.Roster[8].ResponsibleFor = nil
			s.Add(party.KindInCharge, 50, func(e *party.Event) { e.Persons, e.Buddies = people(6, 9), people(5, 5) })
			s.Add(party.KindInCharge, 51, func(e *party.Event) { e.Persons, e.Buddies = people(10, 10), people(4, 4) })
		}, "Minors", party.Block, "is responsible for 4 minors"},
		{"no contact", func(r *roll.Record, _ *script) { r.Roster[5].Lacks = []string{"no emergency contact"} },
			"Papers", party.Block, "Walker 06: no emergency contact"},
		{"nobody on call", func(r *roll.Record, _ *script) { r.Hike.OnCall.Name = "" }, "On call", party.Block,
			"Nobody is named"},
		{"no alarm reaches on-call", func(r *roll.Record, _ *script) { r.Hike.OnCall.Email = "" }, "On call",
			party.Block, "No alarm can reach Oren Vale"},
		{"nobody decided", func(r *roll.Record, _ *script) { r.Hike.Decision = hike.Decision{} }, "Decision",
			party.Block, "Nobody has decided"},
		{"decided days ago", func(r *roll.Record, _ *script) { r.Hike.Decision.At = clock(-3000) }, "Decision",
			party.Warn, "It goes as planned. Walker 01, "},
		{"on-call whom no alarm reaches", func(r *roll.Record, _ *script) {
			r.Hike.OnCall = team.Contact{Name: "Aunt May", Phone: "555 0101"}
			r.Hike.OnCallAccepted = clock(0)
		}, "On call", party.Block, "No alarm can reach Aunt May"},
		{"off the trail in time", func(r *roll.Record, _ *script) {
			r.Terms.Off, r.Terms.Full.Late = clock(245), 3*time.Hour
		}, "Time", party.Fine, "back by 17:05"},
		{"planned past the heat limit, by day", func(r *roll.Record, _ *script) {
			start := r.Hike.Start
			r.Terms.Off, r.Terms.OffBecause, r.Terms.Dusk = start.Add(-time.Hour), "heat", start.Add(9*time.Hour)
			r.Terms.Full.Late = 3 * time.Hour
		}, "Time", party.Block, "(heat). Do not"},
		{"too late, and the short option is not", func(r *roll.Record, _ *script) {
			r.Terms.Off, r.Terms.OffBecause, r.Terms.Full.Late = clock(244), "heat", 3*time.Hour
			r.Terms.Short.Late = time.Hour
		}, "Time", party.Block, "by 17:04 (heat). Do not take the full route. The short option to Shade Rock is"},
		{"too late for both", func(r *roll.Record, _ *script) {
			r.Terms.Off, r.Terms.Full.Late, r.Terms.Short.Late = clock(100), 3*time.Hour, time.Hour
		}, "Time", party.Block, "It is too late for the short option too"},
		{"no plan", func(r *roll.Record, _ *script) { r.Terms.Planned = false }, "Water", party.NotKnown, "no plan"},
		{"water not looked at", func(_ *roll.Record, s *script) { s.Events = s.Events[:1] }, "Water", party.NotKnown,
			"Nobody has looked"},
		{"water short", func(_ *roll.Record, s *script) {
			s.Add(party.KindWater, 46, func(e *party.Event) { e.Persons, e.Litres = people(6, 6), 4 })
		}, "Water", party.Block, "Walker 06"},
		{"water from the car", func(_ *roll.Record, s *script) {
			s.Add(party.KindWater, 46, func(e *party.Event) { e.Persons, e.Litres = people(6, 6), 4 })
			s.Add(party.KindStock, 47, func(e *party.Event) { e.Litres = 1 })
		}, "Water", party.Warn, "Walker 06 1 L"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec, s := ready(10)
			tt.change(&rec, s)
			rec.Events = s.Events
			g := rec.Gate(party.RouteFull, clock(65))
			i := slices.IndexFunc(g.Checks, func(c party.Check) bool { return c.Title == tt.title })
			if i < 0 || g.Checks[i].Grade != tt.want || !strings.Contains(g.Checks[i].Words, tt.words) {
				t.Fatalf("checks %+v; want %s %s with %q", g.Checks, tt.title, tt.want, tt.words)
			}
			if blocked := g.Blocked() != ""; blocked != (tt.want == party.Block) || blocked != (len(g.Against()) == 1) {
				t.Errorf("blocked %q, against %q; want it stopped by the one check alone", g.Blocked(), g.Against())
			}
		})
	}
}

// The ratio counts participants without staff, here 23 and two staff.
func TestGateRatio(t *testing.T) {
	for walkers, want := range map[int]bool{16: false, 17: true} {
		rec, s := ready(walkers + 2)
		rec.Roster[2].Staff = false
		rec.Events = s.Events
		if blocked := rec.Gate(party.RouteFull, clock(65)).Blocked() != ""; blocked != want {
			t.Errorf("%d walkers with two staff: stopped %v, want %v", walkers, blocked, want)
		}
	}
}

// Need 5.0 L each for the full route, two have 1.0 L,
// 3.0 L of spare bottles in the car; the short option needs 3.0 L each.
func TestNotEnoughWaterAtTheSign(t *testing.T) {
	rec, s := ready(6)
	s.Add(party.KindWater, 50, func(e *party.Event) { e.Persons, e.Litres = people(4, 5), 1 })
	s.Add(party.KindStock, 50, func(e *party.Event) { e.Litres = 3 })
	rec.Events = s.Events
	w := rec.Gate(party.RouteFull, clock(65)).Water
	if len(w.OnFull.Stay) != 2 || len(w.Full) != 4 {
		t.Errorf("full route %+v; want neither of the two cured", w.OnFull)
	}
	if len(w.Short) != 1 || w.Short[0].Takes != 2 || len(w.Neither) != 1 || len(w.Tied) != 2 {
		t.Errorf("short %+v, neither %v, tied %v; want one with 2 L, one behind, and the tie seen",
			w.Short, w.Neither, w.Tied)
	}
	if rec.Gate(party.RouteShort, clock(65)).Blocked() == "" {
		t.Error("the short route passes although one of them lacks 2 L")
	}

	s.Add(party.KindWater, 51, func(e *party.Event) { e.Persons, e.Litres, e.Gives = people(6, 6), 6, 1 })
	rec.Events = s.Events
	if g := rec.Gate(party.RouteShort, clock(65)); g.Blocked() != "" {
		t.Errorf("with a litre given: %s", g.Blocked())
	}
}

func TestWaterOfTwoRecorders(t *testing.T) {
	_, s := ready(6)
	s.Add(party.KindWater, 50, func(e *party.Event) { e.Persons, e.Litres, e.By = people(4, 4), 2, "Walker 02" })
	s.Add(party.KindWater, 51, func(e *party.Event) { e.Persons, e.Litres = people(5, 5), 1 })
	st := party.Fold(roster(6), s.Events)
	for n, want := range map[int]unit.Volume{4: 2, 5: 1} {
		if p, _ := st.Person(person(n)); p.Water.Litres != want {
			t.Errorf("walker %d has %v, want %v", n, p.Water.Litres, want)
		}
	}
	if n := kindsOf(st.Flags)[party.FlagWater]; n != 1 {
		t.Errorf("%d flags, want one: a correction by the same hand is none", n)
	}
}

func TestDepartureRule(t *testing.T) {
	leave := func(note string) party.Event {
		return party.Event{ID: eventID(90), Kind: party.KindDeparted, At: clock(65), By: "Walker 01", Note: note,
			Route: party.RouteFull}
	}
	rec, s := ready(8)
	rec.Events = s.Events
	if kept, err := rec.Keep([]party.Event{leave("")}, []roll.Rule{roll.MayDepart}); err != nil ||
		kept[0].Number != 8 || len(kept[0].Against) != 0 {
		t.Errorf("fit for departure: %+v, %v", kept, err)
	}
	rec.Hike.OnCall.Name = ""
	if _, err := rec.Keep([]party.Event{leave("")}, []roll.Rule{roll.MayDepart}); err == nil ||
		!strings.Contains(err.Error(), "write the reason") {
		t.Errorf("error %v, want a refusal", err)
	}
	kept, err := rec.Keep([]party.Event{leave("Oren rings at seven")}, []roll.Rule{roll.MayDepart})
	if err != nil || len(kept[0].Against) != 1 {
		t.Fatalf("with a reason: %+v, %v", kept, err)
	}
	rec.Events = append(rec.Events, kept...)
	st := rec.State()
	if d := st.Departure; d.Reason != "Oren rings at seven" || d.Against[0] != "nobody on call" ||
		kindsOf(st.OpenFlags())[party.FlagAgainst] != 1 {
		t.Errorf("departure %+v, flags %v; want reason and what stood against it", d, kindsOf(st.OpenFlags()))
	}
}

// A written override lets the party leave without a second reason, and is kept with the departure.
func TestOverrideOfOnCallIsKeptWithTheDeparture(t *testing.T) {
	rec, s := ready(8)
	rec.Events, rec.Hike.OnCall.Email = s.Events, ""
	o := hike.Override{By: "Ash Moreno", At: clock(-20)}
	if err := rec.Hike.OverrideOnCall(o); err == nil {
		t.Error("an override without a reason was kept")
	}
	o.Reason = "my sister watches"
	if err := rec.Hike.OverrideOnCall(o); err != nil {
		t.Fatal(err)
	}
	leave := party.Event{ID: eventID(90), Kind: party.KindDeparted, At: clock(65), By: "Walker 01"}
	for name, rule := range map[string]roll.Rule{"with signal": roll.MayDepart, "without": roll.NoteDeparture} {
		e := leave
		if name == "without" {
			e.Persons, e.Number = people(1, 8), 8
		}
		kept, err := rec.Keep([]party.Event{e}, []roll.Rule{rule})
		if err != nil || len(kept) != 1 {
			t.Fatalf("%s: %+v, %v; want the departure kept", name, kept, err)
		}
		if want := o.Words(rec.Hike.Start.Location()); kept[0].Note != want ||
			!slices.Equal(kept[0].Against, []string{"no alarm can reach Oren Vale"}) {
			t.Errorf("%s: note %q, against %q; want the override", name, kept[0].Note, kept[0].Against)
		}
		left := rec
		left.Events = append(slices.Clone(rec.Events), kept...)
		left.Hike.OnCall.Email = "oren@example.org" // given later: the departure stays what it was
		w := left.Hike.OnCallWarning(left.State().Departure)
		if !strings.Contains(w, "Approved anyway by Ash Moreno, ") || !strings.HasSuffix(w, ": my sister watches") {
			t.Errorf("%s: warning %q, want who allowed it and why", name, w)
		}
	}
	if w := (hike.Hike{OnCall: team.Contact{Name: "Oren Vale", Email: "o@example.org"}, OnCallOverride: o}).
		OnCallWarning(party.Departure{}); w != "" {
		t.Errorf("warning %q although on-call can be reached", w)
	}
}

// Without signal the marks and the departure arrive in one batch, and a fact is never refused.
func TestDepartureInABatchIsJudgedByTheMarksBeforeIt(t *testing.T) {
	rec, s := ready(8)
	rec.Hike.OnCall.Name = ""
	batch := append(s.Events, party.Event{ID: eventID(90), Kind: party.KindDeparted, At: clock(65), By: "Walker 01",
		Persons: people(1, 8), Number: 8})
	kept, err := rec.Keep(batch, []roll.Rule{roll.NoteDeparture})
	if err != nil || len(kept) != len(batch) {
		t.Fatalf("%d kept, %v; want all", len(kept), err)
	}
	if got := kept[len(kept)-1].Against; len(got) != 1 || got[0] != "nobody on call" {
		t.Errorf("against %q; want the one thing that stood against it", got)
	}
}

// What the phone showed stays, and what only this roll knows is added, each once.
func TestDepartureKeepsWhatThePhoneShowed(t *testing.T) {
	rec, s := ready(8)
	rec.Hike.OnCall.Name = ""
	batch := append(s.Events, party.Event{ID: eventID(90), Kind: party.KindDeparted, At: clock(65), By: "Walker 01",
		Persons: people(1, 8), Number: 8, Note: "Oren rings at seven",
		Against: []string{"too little water: Walker 05", "nobody on call"}})
	kept, err := rec.Keep(batch, []roll.Rule{roll.NoteDeparture})
	if err != nil {
		t.Fatal(err)
	}
	left := kept[len(kept)-1]
	if want := []string{"too little water: Walker 05", "nobody on call"}; !slices.Equal(left.Against, want) {
		t.Errorf("against %q, want %q", left.Against, want)
	}
	rec.Events = kept
	for _, f := range rec.State().OpenFlags() {
		if f.Kind == party.FlagAgainst && !strings.Contains(f.Words, "the reason written: Oren rings at seven") {
			t.Errorf("flag %q, want the reason that was written", f.Words)
		}
	}
}

func TestRosterFromSignUps(t *testing.T) {
	h := hike.Hike{Staff: []team.Staff{{Person: "s1", Name: "Ash Moreno", Phone: "555 0101 001", Role: team.Leader}}}
	walker := func(id, name string, change func(*signup.SignUp)) signup.SignUp {
		p := signup.SignUp{ID: id, Name: name, State: signup.Confirmed, Mobile: "555 0102 " + id, EmergencyName: "Teo",
			EmergencyPhone: "555 0199 000", Acknowledged: true}
		if change != nil {
			change(&p)
		}
		return p
	}
	r := roll.RosterOf(h, []signup.SignUp{
		walker("101", "Amaya Reyes", nil),
		walker("102", "Bo Reyes",
			func(p *signup.SignUp) { p.Minor, p.Guardian, p.GuardianPhone = true, "amaya reyes", "555 0102 101" }),
		walker("103", "Cleo Dunn", func(p *signup.SignUp) { p.EmergencyPhone = "(555) 0102-101" }),
		walker("104", "Dara Quill", func(p *signup.SignUp) { p.EmergencyPhone = p.Mobile }),
		walker("105", "Ezra Holt", func(p *signup.SignUp) { p.State = signup.Waiting }),
		walker("107", "Gus Holt", func(p *signup.SignUp) {
			p.Minor, p.Guardian, p.GuardianPhone, p.Adult, p.Car.Plate = true, "Aunt Holt", "555 0199 111", "Cleo Dunn",
				"abc 1"
		}),
		walker("106", "Fay Holt", func(p *signup.SignUp) { p.Minor, p.Acknowledged = true, false }),
	})
	got := map[string]string{}
	for _, e := range r {
		got[e.Name] = strings.Join(e.Lacks, "; ")
	}
	want := map[string]string{"Ash Moreno": "", "Amaya Reyes": "", "Bo Reyes": "",
		"Cleo Dunn":  "the emergency contact is on this hike",
		"Dara Quill": "the emergency contact's number is their own", "Gus Holt": "",
		"Fay Holt": "risks not accepted; no guardian's consent"}
	for name, lacks := range want {
		if got[name] != lacks || len(got) != len(want) {
			t.Errorf("%s lacks %q, want %q (of %d entries)", name, got[name], lacks, len(got))
		}
	}
	if r[1].Name != "Amaya Reyes" || !slices.Equal(r[1].ResponsibleFor, []party.PersonID{"102"}) {
		t.Errorf("%s answers for %v, want Amaya Reyes for 102", r[1].Name, r[1].ResponsibleFor)
	}
	if r[3].Name != "Cleo Dunn" || !slices.Equal(r[3].ResponsibleFor, []party.PersonID{"107"}) ||
		r[6].Plate != "abc 1" {
		t.Errorf("%+v, %+v; want Cleo Dunn for 107, who comes in abc 1", r[3], r[6])
	}
}
