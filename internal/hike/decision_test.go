package hike_test

import (
	"errors"
	"testing"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

func TestChoose(t *testing.T) {
	at := time.Date(2027, 5, 8, 12, 0, 0, 0, time.UTC)
	start := time.Date(2027, 5, 9, 13, 0, 0, 0, time.UTC)
	says := func(d plan.Decision) hike.Figures { return hike.Figures{Plan: 3, Verdict: d} }
	shadeRock := hike.Turn{Name: "Shade Rock", Along: 900}
	gone := hike.Decision{Go: true, Outcome: hike.Goes, At: at}
	shorter := hike.Decision{Go: true, Outcome: hike.GoesShorter, At: at}
	for _, c := range []struct {
		name   string
		before hike.Decision
		choice hike.Choice
		fault  string
		says   string
	}{
		{"go on a go", hike.Decision{}, hike.Choice{Outcome: hike.Goes, On: says(plan.Go)}, "", "It goes as planned."},
		{"go against the plan", hike.Decision{}, hike.Choice{Outcome: hike.Goes, On: says(plan.Cancel)}, "reason", ""},
		{"go without a plan", hike.Decision{}, hike.Choice{Outcome: hike.Goes}, "reason", ""},
		{"earlier", hike.Decision{}, hike.Choice{Outcome: hike.GoesEarlier, Start: start.Add(-time.Hour),
			On: says(plan.Go)}, "", "It goes, earlier: meet at 11:30, walk from 12:00."},
		{"earlier, and the plan of it says no", hike.Decision{},
			hike.Choice{Outcome: hike.GoesEarlier, Start: start.Add(-time.Hour), On: says(plan.Change)}, "reason", ""},
		{"earlier, but later", hike.Decision{},
			hike.Choice{Outcome: hike.GoesEarlier, Start: start.Add(time.Hour), On: says(plan.Go)}, "start", ""},
		{"earlier than now", hike.Decision{},
			hike.Choice{Outcome: hike.GoesEarlier, Start: at.Add(-time.Minute), On: says(plan.Go)}, "start", ""},
		{"later", hike.Decision{}, hike.Choice{Outcome: hike.GoesLater, Start: start.Add(time.Hour),
			On: says(plan.Go)}, "", "It goes, later: meet at 13:30, walk from 14:00."},
		{"later, but earlier", hike.Decision{},
			hike.Choice{Outcome: hike.GoesLater, Start: start.Add(-time.Hour), On: says(plan.Go)}, "start", ""},
		{"later after earlier", hike.Decision{Go: true, Outcome: hike.GoesEarlier, At: at},
			hike.Choice{Outcome: hike.GoesLater, Start: start.Add(time.Hour), On: says(plan.Go)}, "reason", ""},
		{"shorter, no place", hike.Decision{}, hike.Choice{Outcome: hike.GoesShorter, On: says(plan.Go)}, "turn", ""},
		{"shorter", hike.Decision{}, hike.Choice{Outcome: hike.GoesShorter, Turn: shadeRock, On: says(plan.Go)}, "",
			"It goes, shorter: it turns back at Shade Rock."},
		{"toward caution after a go", gone, hike.Choice{Outcome: hike.GoesShorter, Turn: shadeRock,
			On: says(plan.Go)}, "", "It goes, shorter: it turns back at Shade Rock."},
		{"toward risk after shorter", shorter, hike.Choice{Outcome: hike.Goes, On: says(plan.Go)}, "reason", ""},
		{"toward risk with a reason", shorter,
			hike.Choice{Outcome: hike.Goes, On: says(plan.Go), Reason: "Cooler forecast."}, "", "It goes as planned."},
		{"called off without a reason", gone, hike.Choice{Outcome: hike.DoesNotGo}, "reason", ""},
		{"same trail", hike.Decision{}, hike.Choice{Outcome: hike.OtherTrail, Trail: hike.Swap{To: trail.Trail{ID: 1}},
			On: says(plan.Go)}, "trail", ""},
		{"no trail", hike.Decision{}, hike.Choice{Outcome: hike.OtherTrail, On: says(plan.Go)}, "trail", ""},
		{"closed trail", hike.Decision{}, hike.Choice{Outcome: hike.OtherTrail,
			Trail: hike.Swap{To: trail.Trail{ID: 2}, Closed: "Closed."}, On: says(plan.Go)}, "trail", ""},
		{"harder, leader unfit", hike.Decision{}, hike.Choice{Outcome: hike.OtherTrail,
			Trail: hike.Swap{To: trail.Trail{ID: 2}, Harder: true, Leader: []string{"may not"}}, On: says(plan.Go)},
			"trail", ""},
		{"easier", hike.Decision{}, hike.Choice{Outcome: hike.OtherTrail,
			Trail: hike.Swap{From: trail.Trail{ID: 1, Name: "Quail Wash"}, To: trail.Trail{ID: 2, Name: "Dry Fork"}},
			On:    says(plan.Go)}, "", "It goes on another trail: Dry Fork instead of Quail Wash."},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := hike.Hike{State: hike.Posted, Trail: 1, Meet: start.Add(-30 * time.Minute), Start: start,
				Decision: c.before}
			c.choice.By, c.choice.At = "Ines Calder", at
			err := h.Choose(c.choice)
			var v fault.Invalid
			if errors.As(err, &v); c.fault != "" && v[c.fault] == "" || c.fault == "" && err != nil {
				t.Fatalf("got %v, want a fault of %q", err, c.fault)
			}
			if c.fault != "" && (h.Decision != c.before || !h.Start.Equal(start) || h.Trail != 1) {
				t.Errorf("refused, and the hike changed: %+v", h)
			}
			if c.fault == "" && (h.Decision.Says() != c.says || h.Decision.Plan != 3) {
				t.Errorf("says %q on plan %d, want %q", h.Decision.Says(), h.Decision.Plan, c.says)
			}
		})
	}
}

func TestACalledOffHikeDoesNotComeBack(t *testing.T) {
	h := hike.Hike{State: hike.Posted, Start: time.Now()}
	if err := h.Choose(hike.Choice{Outcome: hike.DoesNotGo, Reason: "Heat.", At: time.Now()}); err != nil ||
		h.State != hike.CalledOff {
		t.Fatalf("state %s, %v", h.State, err)
	}
	for _, o := range hike.Outcomes() {
		var refusal fault.Refusal
		if err := h.Choose(hike.Choice{Outcome: o, Reason: "We are all here now.",
			On: hike.Figures{Verdict: plan.Go}}); !errors.As(err, &refusal) {
			t.Errorf("%s after it was called off: %v, want a refusal", o, err)
		}
	}
}

func TestRemindAt(t *testing.T) {
	meet := time.Date(2027, 5, 9, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name       string
		told, want time.Duration // before the meeting time
		can        bool
	}{
		{"the evening before", 18 * time.Hour, 14 * time.Hour, true},
		{"late: six hours before people meet", 8 * time.Hour, 6 * time.Hour, true},
		{"later: half an hour after the first", 3 * time.Hour, 150 * time.Minute, true},
		{"too late", 20 * time.Minute, -10 * time.Minute, false},
	} {
		at, can := rules.DefaultRules().RemindAt(meet.Add(-c.told), meet)
		if can != c.can || !at.Equal(meet.Add(-c.want)) {
			t.Errorf("%s: %s before, %v; want %s, %v", c.name, meet.Sub(at), can, c.want, c.can)
		}
	}
}

func TestGround(t *testing.T) {
	on := func(s string) unit.Date {
		d, err := unit.ParseDate(s)
		if err != nil && s != "" {
			t.Fatal(err)
		}
		return d
	}
	walked := trail.Ground{Scouts: []trail.ScoutReport{{Walked: on("2027-05-01")}}}
	for _, c := range []struct {
		name string
		of   trail.Ground
		day  string
		want trail.Scouted
	}{
		{"nobody", trail.Ground{}, "2027-05-09", trail.NotScouted},
		{"a week before", walked, "2027-05-08", trail.ScoutedFresh},
		{"month and a bit, in storms", walked, "2027-06-05", trail.ScoutedStale},
		{"thirty days, in storms", trail.Ground{Scouts: []trail.ScoutReport{{Walked: on("2027-06-01")}}}, "2027-07-01",
			trail.ScoutedFresh},
		{"ninety-one days", trail.Ground{Scouts: []trail.ScoutReport{{Walked: on("2027-01-01")}}}, "2027-04-02",
			trail.ScoutedStale},
	} {
		if got, _, _ := c.of.ScoutedFor(on(c.day), rules.DefaultRules()); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	g := trail.Ground{Closures: []trail.Closure{{From: on("2027-05-01"), To: on("2027-05-10"), Why: "Flood",
		Source: "warden", Blocks: true}, {From: on("2027-06-01"), Why: "Nesting", Source: "sign"}}}
	for day, closed := range map[string]bool{"2027-04-30": false, "2027-05-01": true, "2027-05-10": true,
		"2027-05-11": false, "2027-07-01": false} {
		if got := g.Closed(on(day)); (got != "") != closed {
			t.Errorf("%s: %q, want closed %v", day, got, closed)
		}
	}
	if n := len(g.ClosedOn(on("2027-07-01"))); n != 1 {
		t.Errorf("a caution until further notice: %d, want 1", n)
	}
	h := hike.Hike{State: hike.Draft, Start: time.Date(2027, 5, 9, 12, 0, 0, 0, time.UTC),
		Staff: []team.Staff{{Role: team.Leader}}}
	if err := h.PostOn(g); err == nil || h.State != hike.Draft {
		t.Errorf("posted on a closed trail: %v", err)
	}
	if err := h.PostOn(walked); err != nil || h.State != hike.Posted {
		t.Errorf("not posted: %v", err)
	}
}

func TestAlternativesOfTheSameOrAnEasierClassComeFirst(t *testing.T) {
	roads := trail.Roads{Typed: map[trail.Pair]time.Duration{{From: 1, To: 2}: time.Hour,
		{From: 1, To: 3}: 10 * time.Minute, {From: 1, To: 4}: 5 * time.Minute}}
	way := func(id ref.Trail, km int, heights bool) trail.Trail {
		p := track.Profile{HasElevation: heights, Length: unit.Length(km) * unit.Kilometre,
			Ascent: unit.Length(km) * 60 * unit.Metre}
		return trail.Trail{ID: id, Profile: p}
	}
	of := way(1, 8, true)
	got := staffing.Alternatives(of,
		[]trail.Trail{of, way(2, 4, true), way(3, 8, true), way(4, 20, true), way(5, 2, false), way(6, 3, true)}, roads)
	var order []ref.Trail
	for _, a := range got {
		order = append(order, a.Trail.ID)
	}
	want := []ref.Trail{3, 2, 6, 4, 5}
	if len(order) != len(want) {
		t.Fatalf("order %v, want %v", order, want)
	}
	for i := range want {
		if order[i] != want[i] || got[i].Harder != (i >= 3) {
			t.Fatalf("order %v, want %v, the last two harder", order, want)
		}
	}
}
