package main

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"saltbush/internal/roll"
)

// opens unfolds a form of the roll. A tap right on the heels of another in the same place is
// the second half of a double tap, so it is made again.
func (v *visitor) opens(key string) {
	v.t.Helper()
	open := fmt.Sprintf("document.querySelector('[data-form=%s] details').open", key)
	for range 3 {
		v.thumb(fmt.Sprintf("[data-form=%s] summary", key))
		for end := time.Now().Add(2 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
			if is, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool](open)); err == nil && is {
				return // else the next tap is aimed at where things were
			}
		}
	}
	v.t.Fatalf("%s: the form %s does not unfold", v.name, key)
}

// ticks taps the boxes of people in a form.
func (v *visitor) ticks(key string, people ...roll.PersonID) {
	v.t.Helper()
	for _, id := range people {
		v.thumb(fmt.Sprintf("[data-form=%s] [data-tick='%s']", key, id))
	}
}

// A party of eight without signal: it splits, counts by party, loses a pair to the car,
// misses one and finds him, and comes together; then the signal is back.
func TestTrailWithoutSignal(t *testing.T) {
	p := serveForTwo(t)
	for _, name := range []string{"Nadia Quist", "Pio Sand", "Rafe Tull"} {
		addWalker(t, p, name)
	}
	depart(t, p)
	ids := map[string]roll.PersonID{}
	for _, e := range p.roll(t).Roster {
		ids[e.Name] = e.ID
	}
	s := newAirwave(t, p.base)
	v := leads(t, s, "leads@example.org", "")
	s.cut()
	splits(v, p.roll(t).Roster[1].ID, ids)
	leaves(v, ids)
	misses(v, ids)
	meets(v)
	s.restore()
	v.sent()
	sameTrailOnTheServer(t, p.roll(t).State(), ids)
	pictures(t, p, v)
}

func splits(v *visitor, sweep roll.PersonID, ids map[string]roll.PersonID) {
	v.t.Helper()
	v.opens("split")
	v.ticks("split", sweep, ids["Pio Sand"], ids["Rafe Tull"])
	v.fill("[data-form=split] form", map[string]string{"place": "Notch Junction", "first_number": "5", "second_number": "3", "meet": "Shade Rock", "meet_in": "60"})
	v.thumb("#roll button[value=split]")
	v.sees("one of staff alone") // one each: told when they part
	v.fill("#roll form:has([name=leader])", map[string]string{"place": "Notch Junction", "party": "back party", "leader": "3"})
	v.thumb("#roll button[value=counted]")
	v.sees("Count at Notch Junction: leader 3")
	thumbsFit(v)
}

func leaves(v *visitor, ids map[string]roll.PersonID) {
	v.t.Helper()
	v.thumb("#roll details:has(#early-who) summary")
	v.fill("#roll form:has(#early-who)", map[string]string{"person": string(ids["Amaya Reyes"]), "buddy": string(ids["Bashir Noor"]),
		"place": "Notch Junction", "going": "own car, text from there", "minutes": "40"})
	v.thumb("#roll button[value='left early']")
	v.sees("6 expected")
	v.opens("at-car")
	v.ticks("at-car", ids["Amaya Reyes"], ids["Bashir Noor"])
	v.fill("[data-form=at-car] form", map[string]string{"reason": "text from Amaya"})
	v.thumb("#roll [data-form=at-car] button[value='at the car']")
	v.big("6 out")
	v.opens("again") // she has fetched her water and meets them
	v.fill("[data-form=again] form", map[string]string{"person": string(ids["Amaya Reyes"]), "place": "Notch Junction"})
	v.thumb("#roll button[value='joined again']")
	v.big("7 out")
	v.sees("7 expected")
	v.thumb("#roll .Roll-last button") // a slip: she is at the car
	v.big("6 out")
}

func misses(v *visitor, ids map[string]roll.PersonID) {
	v.t.Helper()
	v.thumb(".Tabs a[href$='part=help']")
	v.ticks("missing", ids["Rafe Tull"], roll.PersonID(roll.FactorNoWater))
	v.fill("[data-form=missing] form", map[string]string{"place": "below Notch Junction", "seen_by": "Pio Sand", "seen_ago": "10"})
	v.thumb("#roll button[value=missing]")
	v.sees("Call for help now")
	v.sees("no water")
	v.sees("0 min")
	v.thumb("#roll [data-step='1'] button[value=step]")
	v.sees("Search step 1")
	thumbsFit(v)
	v.do(chromedp.Reload()) // a phone that was put away
	v.sees("Call for help now")
	v.ticks("found", ids["Rafe Tull"])
	v.fill("[data-form=found] form", map[string]string{"place": "Side Wash", "reason": "thirsty, well"})
	v.thumb("#roll button[value=found]")
	v.sees("Rafe Tull: found")
}

func meets(v *visitor) {
	v.t.Helper()
	v.thumb(".Tabs a[href$='part=trail']")
	v.opens("rejoin")
	v.fill("[data-form=rejoin] form", map[string]string{"place": "Notch Junction"})
	for i, n := range []string{"3", "3"} {
		v.evaluate(fmt.Sprintf(`document.getElementById("rejoin-%d").value = "%s"`, i, n))
	}
	v.thumb("#roll button[value=rejoined]")
	v.sees("Together again: front party 3, back party 3")
}

func sameTrailOnTheServer(t *testing.T, s roll.State, ids map[string]roll.PersonID) {
	t.Helper()
	if s.Expected != 6 || s.LeftEarly != 2 || len(s.Parties) != 0 || len(s.Gaps) != 0 {
		t.Errorf("expected %d, left early %d, parties %v, gaps %v; want 6, 2, none, none", s.Expected, s.LeftEarly, s.Parties, s.Gaps)
	}
	if a, _ := s.Person(ids["Amaya Reyes"]); a.Where != roll.WhereAtCar || a.Confirmed != "Ash Moreno: text from Amaya" {
		t.Errorf("Amaya is %s, confirmed by %q", a.Where, a.Confirmed)
	}
	if len(s.Searches) != 1 || s.Searches[0].Ended.IsZero() || !s.Searches[0].Urgent() || len(s.Searches[0].Steps) != 1 {
		t.Errorf("searches %+v; want one, urgent, ended, with a step done", s.Searches)
	}
	if open := s.OpenFlags(); len(open) != 0 {
		t.Errorf("flags %+v, want none open after they met", open)
	}
}

// pictures looks at every part of the roll, on the phone and on a desk.
func pictures(t *testing.T, p staffed, phone *visitor) {
	t.Helper()
	desk := browser(t, p.base, screens()[1])
	desk.name = "desk"
	desk.do(chromedp.Navigate(desk.base + "/sign-in"))
	desk.fill("main form", map[string]string{"email": "leads@example.org", "password": samplePassword})
	desk.press("main form button[type=submit]")
	for _, v := range []*visitor{phone, desk} {
		for _, part := range []string{"trail", "help", "back"} {
			v.name += " " + part
			v.do(chromedp.Navigate(v.base + rollOne + "?part=" + part))
			v.sees("Everything is sent")
			v.look()
		}
	}
}

// Without scripts the form does the same: who left early is in the number again.
func TestLeaverIsBackByForm(t *testing.T) {
	p := serveForTwo(t)
	depart(t, p)
	ids := map[string]roll.PersonID{}
	for _, e := range p.roll(t).Roster {
		ids[e.Name] = e.ID
	}
	c := p.signIn(t, "leads@example.org")
	send := func(form url.Values) int {
		form.Set("event", uuid.NewString())
		status, _ := p.post(t, c, rollOne, form)
		return status
	}
	before := p.roll(t).State().Expected
	amaya, bashir := string(ids["Amaya Reyes"]), string(ids["Bashir Noor"])
	if status := send(url.Values{"kind": {"left early"}, "person": {amaya}, "buddy": {bashir}, "place": {"Notch Junction"}, "going": {"own car"}, "minutes": {"40"}}); status != http.StatusSeeOther {
		t.Fatalf("left early: status %d", status)
	}
	if status := send(url.Values{"kind": {"joined again"}, "place": {"Notch Junction"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("nobody chosen: status %d", status)
	}
	if status := send(url.Values{"kind": {"joined again"}, "person": {uuid.NewString()}, "place": {"Notch Junction"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("somebody unknown: status %d", status)
	}
	if status := send(url.Values{"kind": {"joined again"}, "person": {amaya}, "place": {"Notch Junction"}}); status != http.StatusSeeOther {
		t.Errorf("back with the group: status %d", status)
	}
	s := p.roll(t).State()
	if a, _ := s.Person(ids["Amaya Reyes"]); a.Where != roll.WhereOut || a.Last.Place != "Notch Junction" || s.Expected != before-1 || len(s.People) != len(ids) {
		t.Errorf("she is %s, last at %s, %d expected of %d people; want out, at the junction, %d and no new person", a.Where, a.Last.Place, s.Expected, len(s.People), before-1)
	}
}
