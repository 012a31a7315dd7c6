package sitetest

import (
	"context"
	"fmt"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// PlantedField is one unmistakable value that a person gave, or that is kept about them.
type PlantedField struct {
	Of, What, Text string
	Kind           privacy.Kind
}

// The people of a planted hike.
const (
	Grown  = "5a17b054-0000-4000-8000-000000000a01" // an adult with everything that can be told
	Child  = "5a17b054-0000-4000-8000-000000000a02" // in the care of Grown
	Asked  = "5a17b054-0000-4000-8000-000000000a03" // has a talk before them
	Turned = "5a17b054-0000-4000-8000-000000000a04" // turned away after a talk
	Walkup = "5a17b054-0000-4000-8000-000000000a05" // joined at the trailhead
)

// What is sealed on the card of Grown.
const (
	PlantedCondition = "planted condition, since the spring"
	PlantedMedicine  = "planted medicine, twice a day"
)

const (
	plantedOutcome = "planted outcome in neutral words"
	plantedAnswer  = "planted answer of the person"
)

// planted is a sign-up each field of which names its owner.
func planted(id ref.Hike, at time.Time, person, name string, n int) signup.SignUp {
	return signup.SignUp{
		ID:             person,
		Hike:           id,
		Name:           name,
		Email:          fmt.Sprintf("planted%d@example.net", n),
		Mobile:         fmt.Sprintf("602-555-77%02d", n),
		EmergencyName:  fmt.Sprintf("Kinsperson Number%d", n),
		EmergencyPhone: fmt.Sprintf("480-555-66%02d", n),
		ContactEmail:   fmt.Sprintf("kin%d@example.net", n),
		LongestWalk:    fmt.Sprintf("planted walk %d, knees held", n),
		Water:          4 * unit.Litre,
		Acknowledged:   true,
		Asked:          at,
		SelfReport: signup.SelfReport{
			Here:  3,
			From:  fmt.Sprintf("Plantedtown%d", n),
			Shoes: fmt.Sprintf("planted boots %d", n),
		},
	}
}

func plantedSignUps(id ref.Hike, at time.Time) []signup.SignUp {
	a := planted(id, at, Grown, "Zephyrine Quillfeather", 1)
	b := planted(id, at, Child, "Balthasar Inkpen", 2)
	c := planted(id, at, Asked, "Cosima Thrupp", 3)
	d := planted(id, at, Turned, "Desmond Yarborrow", 4)
	a.Car = signup.Car{Plate: "PLNT-077", Make: "Plantmobile", Colour: "ochre", Seats: 1}
	a.Needs = "planted action: the pen in the left pocket"
	b.Minor, b.Guardian, b.GuardianPhone = true, "Guardian Inkpen Elder", "480-555-6699"
	b.Adult, b.Consented = a.Name, at
	c.Screening.Talk, d.Screening.Talk = []string{"planted reason for a talk 3"}, []string{"planted reason for a talk 4"}
	return []signup.SignUp{a, b, c, d}
}

// fieldsOf lists what a sign-up says of its person.
func fieldsOf(s signup.SignUp) (list []PlantedField) {
	add := func(kind privacy.Kind, what, text string) {
		if text != "" {
			list = append(list, PlantedField{Of: s.ID, What: what, Text: text, Kind: kind})
		}
	}
	add(privacy.KindName, "name", s.Name)
	add(privacy.KindContact, "mobile", s.Mobile)
	add(privacy.KindContact, "email", s.Email)
	add(privacy.KindContact, "contact's name", s.EmergencyName)
	add(privacy.KindContact, "contact's phone", s.EmergencyPhone)
	add(privacy.KindContact, "contact's email", s.ContactEmail)
	add(privacy.KindContact, "guardian", s.Guardian)
	add(privacy.KindContact, "guardian's phone", s.GuardianPhone)
	add(privacy.KindPlate, "plate", s.Car.Plate)
	add(privacy.KindPlate, "make of the car", s.Car.Make)
	add(privacy.KindAction, "action line", s.Needs)
	add(privacy.KindScreening, "longest walk", s.LongestWalk)
	add(privacy.KindScreening, "where from", s.SelfReport.From)
	add(privacy.KindScreening, "shoes", s.SelfReport.Shoes)
	if len(s.Screening.Talk) > 0 {
		add(privacy.KindScreening, "reason for a talk", s.Screening.Talk[0])
	}
	return list
}

// Planting is a hike of a lookout with people about whom every kind of data is kept.
type Planting struct {
	l      *Lookout
	Hike   hike.Hike
	Fields []PlantedField
	Links  map[string]account.Secret // the private pages by person
}

// Plant stores the planted people of a hike, as of twelve days before it.
func (l *Lookout) Plant(t testing.TB, h hike.Hike) Planting {
	t.Helper()
	at := h.Start.Add(-12 * 24 * time.Hour)
	p := Planting{l: l, Hike: h, Links: map[string]account.Secret{}}
	signUps := plantedSignUps(h.ID, at)
	for _, s := range signUps {
		secret, hash := NewLink(t)
		p.Links[s.ID], s.Link = secret, hash[:]
		if _, err := l.DB.SignUp(context.Background(), s, at); err != nil {
			t.Fatal(err)
		}
		p.Fields = append(p.Fields, fieldsOf(s)...)
	}
	p.Fields = append(p.Fields,
		PlantedField{Grown, "conditions on the card", PlantedCondition, privacy.KindCard},
		PlantedField{Grown, "medicines on the card", PlantedMedicine, privacy.KindCard},
		PlantedField{Turned, "outcome's reason", plantedOutcome, privacy.KindScreening},
		PlantedField{Turned, "answer", plantedAnswer, privacy.KindScreening},
		PlantedField{Walkup, "name", "Wilhelmina Latecomer", privacy.KindName},
		PlantedField{Walkup, "mobile", "602-555-7705", privacy.KindContact},
		PlantedField{Walkup, "contact's phone", "480-555-6605", privacy.KindContact},
	)
	p.writeCard(t, signUps[0].Needs, at)
	p.turnAway(t, at)
	return p
}

func (p Planting) writeCard(t testing.TB, action string, at time.Time) {
	t.Helper()
	written := card.Card{
		Action:  action,
		Details: card.Details{Conditions: PlantedCondition, Medicines: PlantedMedicine},
	}
	if err := p.l.DB.SaveCard(context.Background(), card.Of{Hike: p.Hike.ID, Person: Grown}, written, at); err != nil {
		t.Fatal(err)
	}
}

func (p Planting) turnAway(t testing.TB, at time.Time) {
	t.Helper()
	declined := signup.Screening{
		Outcome:   signup.Declined,
		Reason:    plantedOutcome,
		Criterion: signup.Criteria()[0],
		By:        "Leader 1",
	}
	_, err := p.l.DB.ChangeSignUp(context.Background(), Turned, at, func(s *signup.SignUp) error {
		if err := s.Screen(declined, at); err != nil {
			return err
		}
		return s.AnswerBack(plantedAnswer, at)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// SetOut records that the planted people set out, with Walkup who joined at the trailhead.
func (p Planting) SetOut() {
	p.l.t.Helper()
	p.l.Record(p.Hike, roll.KindJoined, p.Hike.Start.Add(-10*time.Minute), func(e *roll.Event) {
		e.Persons, e.Name, e.Agreed = []roll.PersonID{Walkup}, "Wilhelmina Latecomer", true
		e.Contact = "Latecomers Kin, 480-555-6605"
		e.Note = "mobile 602-555-7705; ring Latecomers Kin 480-555-6605; water 4 L; adult; heard the risks: true"
	})
	p.l.Record(p.Hike, roll.KindDeparted, p.Hike.Start, func(e *roll.Event) {
		e.Persons, e.Place = p.party(), "trailhead"
	})
}

func (p Planting) party() []roll.PersonID {
	return append(personsOf(p.Hike), Grown, Child, Walkup)
}

// ComeBack records that all are back by name, that on-call stood down, and that the hike was
// closed.
func (p Planting) ComeBack(t testing.TB, at time.Time) {
	t.Helper()
	p.l.Record(p.Hike, roll.KindBack, at, func(e *roll.Event) { e.Persons = p.party() })
	p.l.Record(p.Hike, roll.KindStoodDown, at.Add(time.Minute), nil)
	ChangeHike(t, p.l.DB, p.Hike.ID, func(h *hike.Hike) { h.State = hike.Closed })
}
