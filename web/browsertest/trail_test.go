package browsertest

import (
	"fmt"
	"saltbush/internal/party"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// A party of eight without signal: it splits, counts by party, loses a pair to the car,
// misses one and finds him, and comes together; then the signal is back.
func TestTrailWithoutSignal(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	for _, name := range []string{"Nadia Quist", "Pio Sand", "Rafe Tull"} {
		sitetest.AddSignUp(t, s.DB, sitetest.Walker(name, "walker@example.org"))
	}
	s.Depart(t)
	people, sweep := s.People(t, 1), s.Roll(t, 1).Roster[1].ID
	a := newAirwave(t, s.URL)
	p := openPhone(t, a, sitetest.Leader, "")
	a.cut()
	partySplits(p, sweep, people)
	twoLeaveEarly(p, people)
	oneIsMissed(p, people)
	partiesMeet(p)
	a.restore()
	p.sent()
	sameTrailOnTheServer(t, s.Roll(t, 1).State(), people)
	everyPartFits(t, s, p)
}

func partySplits(p phone, sweep party.PersonID, people map[string]party.PersonID) {
	p.T.Helper()
	p.unfolds("split")
	p.ticks("split", sweep, people["Pio Sand"], people["Rafe Tull"])
	p.Fill("[data-form=split] form", map[string]string{
		"place": "Notch Junction", "first_number": "5", "second_number": "3", "meet": "Shade Rock", "meet_in": "60",
	})
	p.thumb("#roll button[value=split]")
	p.Sees("one of staff alone") // one each: said when they part
	p.Fill("#roll form:has([name=leader])", map[string]string{
		"place": "Notch Junction", "party": "back party", "leader": "3",
	})
	p.thumb("#roll button[value=counted]")
	p.Sees("Count at Notch Junction: leader 3")
	p.thumbsFit()
}

func twoLeaveEarly(p phone, people map[string]party.PersonID) {
	p.T.Helper()
	amaya, bashir := people["Amaya Reyes"], people["Bashir Noor"]
	p.thumb("#roll details:has(#early-who) summary")
	p.Fill("#roll form:has(#early-who)", map[string]string{
		"person": string(amaya), "buddy": string(bashir), "place": "Notch Junction",
		"going": "own car, text from there", "minutes": "40",
	})
	p.thumb("#roll button[value='left early']")
	p.Sees("6 expected")
	p.unfolds("at-car")
	p.ticks("at-car", amaya, bashir)
	p.Fill("[data-form=at-car] form", map[string]string{"reason": "text from Amaya"})
	p.thumb("#roll [data-form=at-car] button[value='at the car']")
	p.big("6 out")
	p.unfolds("again") // she has fetched her water and meets them
	p.Fill("[data-form=again] form", map[string]string{"person": string(amaya), "place": "Notch Junction"})
	p.thumb("#roll button[value='joined again']")
	p.big("7 out")
	p.Sees("7 expected")
	p.thumb("#roll .Roll-last button") // a slip: she is at the car
	p.big("6 out")
}

func oneIsMissed(p phone, people map[string]party.PersonID) {
	p.T.Helper()
	p.thumb(".Tabs a[href$='part=help']")
	p.ticks("missing", people["Rafe Tull"], party.PersonID(party.FactorNoWater))
	p.Fill("[data-form=missing] form", map[string]string{
		"place": "below Notch Junction", "seen_by": "Pio Sand", "seen_ago": "10",
	})
	p.thumb("#roll button[value=missing]")
	p.Sees("Call for help now")
	p.Sees("no water")
	p.Sees("0 min")
	p.thumb("#roll [data-step='1'] button[value=step]")
	p.Sees("Search step 1")
	p.thumbsFit()
	p.reloads()
	p.Sees("Call for help now")
	p.ticks("found", people["Rafe Tull"])
	p.Fill("[data-form=found] form", map[string]string{"place": "Side Wash", "reason": "thirsty, well"})
	p.thumb("#roll button[value=found]")
	p.Sees("Rafe Tull: found")
}

func partiesMeet(p phone) {
	p.T.Helper()
	p.thumb(".Tabs a[href$='part=trail']")
	p.unfolds("rejoin")
	p.Fill("[data-form=rejoin] form", map[string]string{"place": "Notch Junction"})
	for i := range 2 {
		p.Evaluate(fmt.Sprintf(`document.getElementById("rejoin-%d").value = "3"`, i))
	}
	p.thumb("#roll button[value=rejoined]")
	p.Sees("Together again: front party 3, back party 3")
}

func sameTrailOnTheServer(t *testing.T, s party.State, people map[string]party.PersonID) {
	t.Helper()
	if s.Expected != 6 || s.LeftEarly != 2 || len(s.Parties) != 0 || len(s.Gaps) != 0 {
		t.Errorf("expected %d, left early %d, parties %v, gaps %v; want 6, 2, none, none",
			s.Expected, s.LeftEarly, s.Parties, s.Gaps)
	}
	amaya, _ := s.Person(people["Amaya Reyes"])
	if amaya.Where != party.WhereAtCar || amaya.Confirmed != "Ash Moreno: text from Amaya" {
		t.Errorf("Amaya is %s, confirmed by %q; want at the car, by Ash Moreno: text from Amaya",
			amaya.Where, amaya.Confirmed)
	}
	if len(s.Searches) != 1 {
		t.Fatalf("%d searches, want 1", len(s.Searches))
	}
	if search := s.Searches[0]; search.Ended.IsZero() || !search.Urgent() || len(search.Steps) != 1 {
		t.Errorf("search %+v; want urgent, ended, with a step done", search)
	}
	if open := s.OpenFlags(); len(open) != 0 {
		t.Errorf("flags %+v, want none open after they met", open)
	}
}

// everyPartFits looks at every part of the roll, on the phone and on a desk.
func everyPartFits(t *testing.T, s *sitetest.Site, p phone) {
	t.Helper()
	desk := chromium.Open(t, s.URL, chromium.Desk)
	desk.SignIn(sitetest.Leader)
	for _, v := range []*chromium.Tab{p.Tab, desk} {
		for _, part := range []string{"trail", "help", "back"} {
			v.Go(rollPath + "?part=" + part)
			v.Sees("Everything is sent")
			v.Look()
		}
	}
}
