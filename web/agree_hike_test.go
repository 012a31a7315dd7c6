package web_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// The kinds of hike that are played, by their plan.
const (
	round   = iota // two hours likely, three late, and no limit
	limited        // with drawn times and limits of light, heat and water
	planned        // computed from a forecast; something is decided the day before
)

// played makes the records of one hike, as two phones send them.
type played struct {
	h              hike.Hike
	kind           int
	place, updates string // the paths of a walker's own page, and of what was decided
	plain          bool   // only counts, delays and words come in, with right clocks
	dice           *rand.Rand
	at             time.Time
	made           []party.Event
	all            []party.PersonID
}

// post stores the next hike of a lookout.
func (a *agreement) post(n, kind int) *played {
	a.t.Helper()
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		a.t.Fatal(err)
	}
	day := time.Now().In(zone).AddDate(0, 0, -2-n%4) // past for the database, and within a sign-in
	start := time.Date(day.Year(), day.Month(), day.Day(), 5+a.dice.IntN(10), a.dice.IntN(60), 0, 0, zone)
	p := &played{h: a.Post(n, start), kind: kind, plain: a.dice.IntN(3) == 0, dice: a.dice}
	walker := sitetest.Walker("Amaya Reyes", "walker@example.org")
	walker.Hike, walker.Asked, walker.ContactEmail = p.h.ID, start.Add(-48*time.Hour), "kin@example.org"
	if a.dice.IntN(4) == 0 {
		walker.Needs = "Speak to me from the left."
	}
	_, p.place = sitetest.AddSignUp(a.t, a.DB, walker)
	sitetest.ChangeHike(a.t, a.DB, p.h.ID, func(h *hike.Hike) {
		for i := range h.Staff {
			h.Staff[i].Answer = team.AnswerAccepted
		}
		h.Forecast = &plan.Forecast{
			Low: unit.Celsius(12), High: unit.Celsius(18 + a.dice.Float64()*22), DewPoint: unit.Celsius(2),
			Wind: 2, Cloud: 0.1,
		}
		h.House.CallAfter = time.Duration(45+15*a.dice.IntN(4)) * time.Minute
	})
	a.savePlan(p)
	a.ready(p)
	return p
}

// savePlan stores the plan of a hike by its kind.
func (a *agreement) savePlan(p *played) {
	a.t.Helper()
	h, err := a.DB.Hike(a.t.Context(), p.h.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	stored := hike.StoredPlan{Hike: h.ID, Made: h.Start.Add(-30 * time.Hour), By: "test"}
	switch p.kind {
	case round:
		return // as posted
	case limited:
		stored.Plan = drawnPlan(a.dice, h.Start)
	case planned:
		way, err := a.DB.Trail(a.t.Context(), h.Trail)
		if err != nil {
			a.t.Fatal(err)
		}
		if stored, err = hike.PlanFor(h, way, "test", stored.Made); err != nil {
			a.t.Fatal(err)
		}
	}
	if err := a.DB.SavePlan(a.t.Context(), stored); err != nil {
		a.t.Fatal(err)
	}
}

func drawnPlan(dice *rand.Rand, start time.Time) (p plan.Plan) {
	drawn := func(from, to int) time.Duration { return time.Duration(60*from+dice.IntN(60*(to-from))) * time.Second }
	likely := drawn(60, 240)
	p.Time.P50, p.Time.P90 = plan.Seconds(likely.Seconds()), plan.Seconds((likely + drawn(10, 100)).Seconds())
	p.Heat.PeakAir = unit.Celsius(20 + dice.Float64()*25)
	p.Water.Drink, p.Water.Carry = unit.Flow(0.5), unit.Volume(1+dice.Float64()*3)*unit.Litre
	if dice.IntN(2) == 0 {
		p.Sun.CivilDusk = plan.Instant{Time: start.Add(likely + drawn(-60, 240))}
	}
	p.Turnaround.At, p.Turnaround.Because = plan.Instant{Time: start.Add(drawn(20, 240))}, "water"
	p.Turnaround.OffTrail = plan.Instant{Time: start.Add(drawn(120, 400))}
	p.Turnaround.OffTrailBecause = "heat"
	return p
}

// addWash stores the trail that a decision may choose in place of the posted one.
func (a *agreement) addWash() trail.Trail {
	a.t.Helper()
	way := sitetest.DryFork()
	way.Name, way.Profile = "Cinder Wash", sitetest.Straight(120, 0.5, track.OutAndBack)
	id, err := sitetest.AddTrail(a.t.Context(), a.DB, way)
	if err == nil {
		way, err = a.DB.Trail(a.t.Context(), id)
	}
	if err != nil {
		a.t.Fatal(err)
	}
	return way
}

// ready reads the hike as it is stored, with everybody on its roll.
func (a *agreement) ready(p *played) {
	a.t.Helper()
	rec, err := a.DB.Record(a.t.Context(), p.h.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	p.h, p.all = rec.Hike, nil
	for _, e := range rec.Roster {
		p.all = append(p.all, e.ID)
	}
	p.at = p.h.Start.Add(time.Duration(p.dice.IntN(12)-6) * time.Minute)
}

// decide decides about a hike the day before. Every surface tells of it, and all of them are
// compared.
func (a *agreement) decide(p *played) {
	a.t.Helper()
	a.newMails() // those of earlier hikes
	before := a.caseOf(p.h).Clocks()
	form := url.Values{"reason": {"Known way, and everybody knows the forecast."}}
	outcomes := []hike.Outcome{hike.Goes, hike.GoesEarlier, hike.GoesLater, hike.GoesShorter, hike.OtherTrail}
	outcome := outcomes[a.dice.IntN(len(outcomes))]
	form.Set("outcome", string(outcome))
	switch outcome {
	case hike.GoesEarlier:
		form.Set("start", p.h.Start.Add(-time.Duration(1+a.dice.IntN(90))*time.Minute).Format("15:04"))
	case hike.GoesLater:
		form.Set("start", p.h.Start.Add(time.Duration(1+a.dice.IntN(90))*time.Minute).Format("15:04"))
	case hike.GoesShorter:
		form.Set("turn", "the fork")
		form.Set("turn_distance", fmt.Sprintf("%.1f", 0.8+float64(a.dice.IntN(8))/10))
		form.Set("turn_unit", "km")
	case hike.OtherTrail:
		form.Set("trail", fmt.Sprint(int64(a.other.ID)))
	}
	a.staff.Post(fmt.Sprintf("/hikes/%d/decide", p.h.ID), form).Want(http.StatusSeeOther)
	a.ready(p)
	c := a.caseOf(p.h)
	if outcome != hike.Goes && len(wrongClocks(c.Clocks(), before)) == 0 {
		a.differs("the decision "+string(outcome), c, []string{"it moves no clock"})
	}
	for _, m := range a.letters(c) {
		if m.To == "walker@example.org" {
			p.updates = sitetest.LinkIn(a.t, m, "updates")
		}
	}
	a.seen["decisions: "+string(outcome)]++
	a.pages(c, a.surfaces(p))
}

// eve sends the mails of the day before.
func (a *agreement) eve(p *played) {
	a.t.Helper()
	if err := a.site.ProcessWaitlists(a.t.Context()); err != nil {
		a.t.Fatal(err)
	}
	a.letters(a.caseOf(p.h))
}

// next makes one or two records and says when the server gets them.
func (p *played) next() ([]party.Event, time.Time) {
	e := p.event()
	p.made = append(p.made, e)
	events := []party.Event{e}
	if !p.plain && p.dice.IntN(6) == 0 { // the other phone sends its own of the same
		twin := e
		twin.ID, twin.By = party.EventID(uuid.NewString()), "Leader 2"
		p.made, events = append(p.made, twin), append(events, twin)
	}
	if p.dice.IntN(8) == 0 && len(p.made) > 1 { // sent twice
		events = append(events, p.made[p.dice.IntN(len(p.made)-1)])
	}
	received := p.at.Add(time.Duration(p.dice.IntN(20)) * time.Minute) // no signal for a while
	if !p.plain && p.dice.IntN(7) == 0 {
		events[0].At = received.Add(time.Duration(p.dice.IntN(600)) * time.Minute) // a clock that is ahead
	}
	p.at = p.at.Add(time.Duration(5+p.dice.IntN(40)) * time.Minute)
	if before := p.at.Add(-time.Minute); before.After(received) {
		received = before
	}
	return events, received
}

func (p *played) event() party.Event {
	e := party.Event{ID: party.EventID(uuid.NewString()), At: p.at, By: "Leader 1", Place: "Notch Junction"}
	if len(p.made) == 0 {
		e.Kind, e.Persons, e.Number = party.KindDeparted, p.all, len(p.all)
		return e
	}
	kinds := []party.Kind{
		party.KindCounted, party.KindDelayed, party.KindReported, party.KindCounted, party.KindLeftEarly,
		party.KindAtCar, party.KindSplit, party.KindMissing, party.KindMissing, party.KindFound, party.KindStep,
		party.KindUndone,
	}
	if p.plain {
		kinds = kinds[:3]
	}
	e.Kind = kinds[p.dice.IntN(len(kinds))]
	switch e.Kind {
	case party.KindCounted:
		e.Number = len(p.all) - 1 + p.dice.IntN(2)
	case party.KindDelayed:
		e.Minutes, e.Note = 10+p.dice.IntN(50), "slow on the slab"
	case party.KindReported:
		e.Note = "all well"
	case party.KindUndone:
		e.Retracts = p.made[p.dice.IntN(len(p.made))].ID
	default:
		p.apart(&e)
	}
	return e
}

// apart fills in a record of people who are not with the others.
func (p *played) apart(e *party.Event) {
	switch e.Kind {
	case party.KindLeftEarly:
		e.Persons, e.Buddies, e.To, e.Minutes = p.all[2:3], p.all[3:4], "own car", 20+p.dice.IntN(60)
	case party.KindAtCar:
		e.Persons = p.all[2:]
	case party.KindSplit:
		e.Parties = []party.Part{
			{Name: "front", Staff: p.all[:1], Number: 1 + p.dice.IntN(2), Meet: "gate", By: p.at.Add(time.Hour)},
			{Name: "back", Staff: slices.Clone(p.all[1:]), Number: 3, Meet: "gate", By: p.at.Add(time.Hour)},
		}
	case party.KindMissing, party.KindFound:
		e.Persons = []party.PersonID{p.all[2+p.dice.IntN(2)]}
		if p.dice.IntN(4) == 0 {
			e.Persons, e.Number = nil, 1
		}
	case party.KindStep:
		e.Step, e.Trouble = 1+p.dice.IntN(6), p.dice.IntN(2) == 0
	}
}
