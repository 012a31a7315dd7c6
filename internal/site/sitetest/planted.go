package sitetest

import (
	"context"
	"saltbush/internal/party"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/retention/plant"
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

// plantedSignUps have the planted words of the registry. One comes by car and has words for
// the leader, one has a guardian, and two have a talk.
func plantedSignUps(id ref.Hike, at time.Time) []signup.SignUp {
	of := func(person, name string, n int) signup.SignUp {
		s := signup.SignUp{ID: person, Hike: id, Asked: at, Acknowledged: true, Water: 4 * unit.Litre}
		plant.Fill(&s, n)
		s.Name, s.Adult, s.Because, s.SelfReport.Here, s.Car.Seats = name, "", "", 3, 1
		s.Screening = signup.Screening{Talk: s.Screening.Talk}
		if person != Grown {
			s.Car, s.Needs = signup.Car{}, ""
		}
		if person != Child {
			s.Guardian, s.GuardianPhone = "", ""
		}
		if person != Asked && person != Turned {
			s.Screening.Talk = nil
		}
		return s
	}
	a, b := of(Grown, "Zephyrine Quillfeather", 1), of(Child, "Balthasar Inkpen", 2)
	b.Minor, b.Adult, b.Consented = true, a.Name, at
	return []signup.SignUp{a, b, of(Asked, "Cosima Thrupp", 3), of(Turned, "Desmond Yarborrow", 4)}
}

// fieldsOf lists what a sign-up says of its person, by the registry.
func fieldsOf(s signup.SignUp) (list []PlantedField) {
	for _, f := range retention.Fields() {
		if f.Name == "adult in charge" { // somebody else's name
			continue
		}
		if text := plant.Text(f, s); text != "" {
			list = append(list, PlantedField{Of: s.ID, What: f.Name, Text: text, Kind: f.Kind})
		}
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
	p.l.Record(p.Hike, party.KindJoined, p.Hike.Start.Add(-10*time.Minute), func(e *party.Event) {
		e.Persons, e.Name, e.Agreed = []party.PersonID{Walkup}, "Wilhelmina Latecomer", true
		e.Contact = "Latecomers Kin, 480-555-6605"
		e.Note = "mobile 602-555-7705; ring Latecomers Kin 480-555-6605; water 4 L; adult; heard the risks: true"
	})
	p.l.Record(p.Hike, party.KindDeparted, p.Hike.Start, func(e *party.Event) {
		e.Persons, e.Place = p.party(), "trailhead"
	})
}

func (p Planting) party() []party.PersonID {
	return append(personsOf(p.Hike), Grown, Child, Walkup)
}

// ComeBack records that all are back by name, that on-call stood down, and that the hike was
// closed.
func (p Planting) ComeBack(t testing.TB, at time.Time) {
	t.Helper()
	p.l.Record(p.Hike, party.KindBack, at, func(e *party.Event) { e.Persons = p.party() })
	p.l.Record(p.Hike, party.KindStoodDown, at.Add(time.Minute), nil)
	ChangeHike(t, p.l.DB, p.Hike.ID, func(h *hike.Hike) { h.State = hike.Closed })
}
