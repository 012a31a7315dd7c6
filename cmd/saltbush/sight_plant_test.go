package main

import (
	"context"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/retention/plant"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// planted is one unmistakable value that a person gave, or that stands about them.
type planted struct {
	of, what, text string
	kind           privacy.Kind
}

// The people of the hike that is walked: a grown-up with all that can be told, a child,
// one with a talk before them, one turned away after a talk, and one who joined at the
// trailhead.
const (
	grown  = "5a17b054-0000-4000-8000-000000000a01"
	child  = "5a17b054-0000-4000-8000-000000000a02"
	asked  = "5a17b054-0000-4000-8000-000000000a03"
	turned = "5a17b054-0000-4000-8000-000000000a04"
	walkup = "5a17b054-0000-4000-8000-000000000a05"
)

const (
	plantedCondition = "planted condition, since the spring"
	plantedMedicine  = "planted medicine, twice a day"
)

// plantedWalkers are the sign-ups, each field of which names its owner. One comes by car and has
// words for the leader, one has a guardian, and two have a talk.
func plantedWalkers(id ref.Hike, at time.Time) []signup.SignUp {
	of := func(who, name string, n int) signup.SignUp {
		s := signup.SignUp{ID: who, Hike: id, Asked: at, Acknowledged: true, Water: 4 * unit.Litre}
		plant.Fill(&s, n)
		s.Name, s.Adult, s.Because, s.SelfReport.Here, s.Car.Seats = name, "", "", 3, 1
		s.Screening = signup.Screening{Talk: s.Screening.Talk}
		if who != grown {
			s.Car, s.Needs = signup.Car{}, ""
		}
		if who != child {
			s.Guardian, s.GuardianPhone = "", ""
		}
		if who != asked && who != turned {
			s.Screening.Talk = nil
		}
		return s
	}
	a, b := of(grown, "Zephyrine Quillfeather", 1), of(child, "Balthasar Inkpen", 2)
	b.Minor, b.Adult, b.Consented = true, a.Name, at
	return []signup.SignUp{a, b, of(asked, "Cosima Thrupp", 3), of(turned, "Desmond Yarborrow", 4)}
}

// plantedFields lists what was planted, by the kind of data that the table knows it as: the
// fields of the registry, and beside them what is on the card, said after a talk, or typed at
// the trailhead.
func plantedFields(walkers []signup.SignUp) []planted {
	var list []planted
	for _, s := range walkers {
		for _, f := range retention.Fields() {
			if f.Name == "adult in charge" { // somebody else's name
				continue
			}
			if text := plant.Text(f, s); text != "" {
				list = append(list, planted{of: s.ID, what: f.Name, text: text, kind: f.Kind})
			}
		}
	}
	return append(list,
		planted{grown, "conditions on the card", plantedCondition, privacy.KindCard},
		planted{grown, "medicines on the card", plantedMedicine, privacy.KindCard},
		planted{turned, "outcome's reason", "planted outcome in neutral words", privacy.KindScreening},
		planted{turned, "answer", "planted answer of the person", privacy.KindScreening},
		planted{walkup, "name", "Wilhelmina Latecomer", privacy.KindName},
		planted{walkup, "mobile", "602-555-7705", privacy.KindContact},
		planted{walkup, "contact's phone", "480-555-6605", privacy.KindContact})
}

// plant stores the people of the hike, and puts a private link of each beside them.
func (l *lookout) plant(t *testing.T, h hike.Hike) (walkers []signup.SignUp, secrets map[string]account.Secret) {
	t.Helper()
	ctx, at := context.Background(), h.Start.Add(-12*24*time.Hour)
	secrets = map[string]account.Secret{}
	walkers = plantedWalkers(h.ID, at)
	for _, p := range walkers {
		secret, hash := newSecret(t)
		secrets[p.ID], p.Link = secret, hash[:]
		if _, err := l.db.SignUp(ctx, p, at); err != nil {
			t.Fatal(err)
		}
	}
	written := card.Card{Action: walkers[0].Needs, Details: card.Details{Conditions: plantedCondition, Medicines: plantedMedicine}}
	if err := l.db.SaveCard(ctx, card.Of{Hike: h.ID, Person: grown}, written, at); err != nil {
		t.Fatal(err)
	}
	_, err := l.db.ChangeSignUp(ctx, turned, at, func(p *signup.SignUp) error {
		if err := p.Screen(signup.Screening{Outcome: signup.Declined, Reason: "planted outcome in neutral words", Criterion: signup.Criteria()[0], By: "Leader 1"}, at); err != nil {
			return err
		}
		return p.AnswerBack("planted answer of the person", at)
	})
	if err != nil {
		t.Fatal(err)
	}
	return walkers, secrets
}

// leave records that the planted people set out, with one who joined at the trailhead.
func (l *lookout) leave(h hike.Hike) {
	l.t.Helper()
	l.record(h, roll.KindJoined, h.Start.Add(-10*time.Minute), func(e *roll.Event) {
		e.Persons, e.Name, e.Agreed = []roll.PersonID{walkup}, "Wilhelmina Latecomer", true
		e.Contact = "Latecomers Kin, 480-555-6605"
		e.Note = "mobile 602-555-7705; ring Latecomers Kin 480-555-6605; water 4 L; adult; heard the risks: true"
	})
	l.record(h, roll.KindDeparted, h.Start, func(e *roll.Event) { e.Persons, e.Place = plantedParty(h), "trailhead" })
}

func plantedParty(h hike.Hike) []roll.PersonID {
	list := []roll.PersonID{grown, child, walkup}
	for _, m := range h.Staff {
		list = append(list, roll.PersonID(m.Person))
	}
	return list
}

// comeBack records that all are back by name, that on-call stood down and the hike closed.
func (l *lookout) comeBack(h hike.Hike, at time.Time) {
	l.t.Helper()
	l.record(h, roll.KindBack, at, func(e *roll.Event) { e.Persons = plantedParty(h) })
	l.record(h, roll.KindStoodDown, at.Add(time.Minute), nil)
	if err := l.db.ChangeHike(context.Background(), h.ID, func(h *hike.Hike) error { h.State = hike.Closed; return nil }); err != nil {
		l.t.Fatal(err)
	}
}
