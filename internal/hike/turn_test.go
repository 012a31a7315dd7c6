package hike_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func notchTrail() trail.Trail {
	t := sitetest.DryFork()
	t.ID = 1
	t.Points = []trail.Point{{Name: "Tank", Along: 100}, {Name: "Notch Junction", Along: 600},
		{Name: "The saddle", Along: 1800}, {Name: "Tank again", Along: 4000}}
	return t
}

func TestTurnOn(t *testing.T) {
	for _, c := range []struct {
		name, at string
		along    unit.Length
		want     hike.Turn
		fault    string
	}{
		{"a named place", "notch junction", 0, hike.Turn{Name: "Notch Junction", Along: 600}, ""},
		{"a distance", "", 900, hike.Turn{Along: 900}, ""},
		{"a place that is not listed", "the ironwood", 900, hike.Turn{Name: "the ironwood", Along: 900}, ""},
		{"an unknown name alone", "the ironwood", 0, hike.Turn{}, "turn_distance"},
		{"nothing", "  ", 0, hike.Turn{}, "turn"},
		{"too near", "Tank", 0, hike.Turn{}, "turn"},
		{"on the way back", "Tank again", 0, hike.Turn{}, "turn"},
		{"beyond the far point", "", 2300, hike.Turn{}, "turn"},
		{"behind the start", "", -500, hike.Turn{}, "turn"},
	} {
		got, err := hike.TurnOn(notchTrail(), c.at, c.along)
		var v fault.Invalid
		if errors.As(err, &v); c.fault != "" && v[c.fault] == "" || c.fault == "" && (err != nil || got != c.want) {
			t.Errorf("%s: %+v, %v; want %+v, fault of %q", c.name, got, err, c.want, c.fault)
		}
	}
}

func TestATurnNeedsToBeNearerThanTheOneBefore(t *testing.T) {
	h := hike.Hike{State: hike.Posted, Trail: 1, Turn: hike.Turn{Name: "Notch Junction", Along: 600}}
	farther := hike.Choice{Outcome: hike.GoesShorter, Turn: hike.Turn{Along: 900}, On: hike.Figures{Verdict: plan.Go}}
	if err := h.Choose(farther); err == nil || h.Turn.Along != 600 {
		t.Errorf("shorter, and it turns at %.0f m: %v", h.Turn.Along.Metres(), err)
	}
	whole := hike.Choice{Outcome: hike.Goes, On: hike.Figures{Verdict: plan.Go}}
	if err := h.Choose(whole); err != nil || h.Turn.Made() {
		t.Errorf("as planned, and it still turns at %s: %v", h.Turn.Where(), err)
	}
}

func planned(t *testing.T, h hike.Hike) hike.Data {
	t.Helper()
	p, err := hike.PlanFor(h, notchTrail(), "Ash Moreno", h.Start.Add(-time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	d := hike.Data{Hike: h, Trail: h.On(notchTrail()), Plan: &p.Plan, Stored: p, Now: h.Start.Add(-time.Hour)}
	d.Clocks.Expected = h.Start.Add(p.Plan.Time.P50.Duration())
	d.Clocks.Latest = h.Start.Add(p.Plan.Time.P90.Duration())
	return d
}

func morning() hike.Hike {
	start := time.Date(2027, 5, 9, 6, 30, 0, 0, notchTrail().Location())
	return hike.Hike{ID: 1, Trail: 1, Title: "Dry Fork at dawn", State: hike.Posted, Meet: start.Add(-30 * time.Minute),
		Start: start, Places: 10, Pace: walk.Ordinary,
		Forecast: &plan.Forecast{Low: 15, High: 30, DewPoint: 2, Wind: 2, Cloud: 0.1}}
}

// The plan of a shortened hike is of the shortened walk, and its inputs say where it turns.
func TestPlanForAShorterHike(t *testing.T) {
	whole, h := planned(t, morning()), morning()
	h.Turn = hike.Turn{Name: "Notch Junction", Along: 600}
	short := planned(t, h)
	if got := short.Stored.Inputs.Turn; got != 600 {
		t.Errorf("the inputs turn at %.0f m, want 600", got.Metres())
	}
	p, was := short.Plan, whole.Plan
	if p.Trail.Distance != 1200 || p.Trail.Ascent >= was.Trail.Ascent || p.Time.P90 >= was.Time.P90 ||
		!p.Turnaround.At.Before(was.Turnaround.At.Time) {
		t.Errorf("%.0f m, %.0f m up, P90 %v, turn %v; the whole trail has %.0f m, %.0f m, %v, %v",
			p.Trail.Distance.Metres(), p.Trail.Ascent.Metres(), p.Time.P90, p.Turnaround.At,
			was.Trail.Distance.Metres(), was.Trail.Ascent.Metres(), was.Time.P90, was.Turnaround.At)
	}
	names := []string{}
	for _, at := range short.Trail.Points {
		names = append(names, at.Name)
	}
	if !slices.Equal(names, []string{"Tank", "Notch Junction"}) || len(p.Time.Points) != 2 {
		t.Errorf("points %v, and times at %d; want only those up to the turn", names, len(p.Time.Points))
	}
	if short.Trail.Profile.Length != 1200 {
		t.Errorf("the trail of the hike is %.0f m long, want 1200", short.Trail.Profile.Length.Metres())
	}
}

func TestChangesAreListedWithTheirOldFigures(t *testing.T) {
	h := morning()
	was := hike.FactsOf(planned(t, h))
	h.Turn = hike.Turn{Name: "Notch Junction", Along: 600}
	h.Start, h.Meet = h.Start.Add(-time.Hour), h.Meet.Add(-time.Hour)
	is := hike.FactsOf(planned(t, h))
	got := map[string]hike.Changed{}
	for _, c := range hike.Changes(was, is, notchTrail().Location(), hike.InBothUnits) {
		got[c.What] = c
	}
	for what, want := range map[string][2]string{
		"Meet":     {"06:00", "05:00"},
		"We leave": {"06:30", "05:30"},
		"Walk":     {"the whole trail", "to Notch Junction and back"},
		"Distance": {"4.4 km (2.7 mi)", "1.2 km (0.7 mi)"},
	} {
		if c := got[what]; c.Was != want[0] || c.Is != want[1] {
			t.Errorf("%s: %q instead of %q, want %q instead of %q", what, c.Is, c.Was, want[1], want[0])
		}
	}
	if c := got["Back"]; c.Was == "" || c.Is == "" || got["Climb"].Is == "" || got["Water each"].Is == "" {
		t.Errorf("back %+v, climb %+v, water %+v; want all three changed", c, got["Climb"], got["Water each"])
	}
	if _, told := got["Day"]; told || len(got) != 7 {
		t.Errorf("changes %v, want seven", got)
	}
	if list := hike.Changes(is, is, time.UTC, hike.InBothUnits); len(list) != 0 {
		t.Errorf("nothing changed, and %v is listed", list)
	}
	none := is
	none.Expected, none.Latest, none.Water = time.Time{}, time.Time{}, 0
	if list := hike.Changes(is, none, time.UTC, hike.InBothUnits); len(list) != 2 ||
		list[1].Says() != "Water each: not known, no longer "+list[1].Was+"." {
		t.Errorf("without a plan %v, want the return and the water not known", list)
	}
}

func TestAsksMore(t *testing.T) {
	h := morning()
	whole := planned(t, h)
	h.Turn = hike.Turn{Along: 600}
	short := planned(t, h)
	if more := hike.AsksMore(whole, short); len(more) != 0 {
		t.Errorf("a shorter walk asks more: %v", more)
	}
	if more := hike.AsksMore(whole, whole); len(more) != 0 {
		t.Errorf("the same walk asks more: %v", more)
	}
	if more := hike.AsksMore(short, whole); len(more) < 3 {
		t.Errorf("the whole walk asks more in %v, want the water, the way and the climb", more)
	}
	short.Plan = nil
	if more := hike.AsksMore(short, whole); len(more) < 2 {
		t.Errorf("without a plan before, it asks more in %v, want the way and the climb", more)
	}
}
