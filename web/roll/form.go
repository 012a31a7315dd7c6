package roll

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// allHere is what a form sends instead of ticks for everybody who is here.
const allHere = "here"

// undo is the word on buttons that undo an event. The form sends that event's ID.
const undo = "undo"

// kindsOfForm maps the words on the buttons to what they record.
func kindsOfForm() map[string]party.Kind {
	return map[string]party.Kind{
		"here":         party.KindHere,
		"not here":     party.KindAbsent,
		"joined":       party.KindJoined,
		"joined again": party.KindJoined,
		"turned away":  party.KindTurnedAway,
		"departed":     party.KindDeparted,
		"counted":      party.KindCounted,
		"left early":   party.KindLeftEarly,
		"at the car":   party.KindAtCar,
		"back":         party.KindBack,
		undo:           party.KindUndone,
		"stood down":   party.KindStoodDown,
		"water":        party.KindWater,
		"stock":        party.KindStock,
		"in charge":    party.KindInCharge,
		"split":        party.KindSplit,
		"rejoined":     party.KindRejoined,
		"delayed":      party.KindDelayed,
		"thunder":      party.KindThunder,
		"missing":      party.KindMissing,
		"named":        party.KindNamed,
		"car stays":    party.KindCarStays,
		"step":         party.KindStep,
		"found":        party.KindFound,
		"told":         party.KindTold,
		"unwell":       party.KindUnwell,
		"noted":        party.KindNoted,
		"plate":        party.KindPlate,
		"car gone":     party.KindCarGone,
	}
}

// readEvent makes an event from a form. The ID was made with the form, so a form that is
// sent twice is one event.
func (s *Handlers) readEvent(r *http.Request) (party.Event, error) {
	f := kit.NewForm(r)
	e := roll.Clean(party.Event{
		ID: party.EventID(f.Text("event")), Kind: kindsOfForm()[f.Text("kind")],
		At: s.Now(), By: kit.NameOf(r), Device: "form",
		Persons: textsOf[party.PersonID](r, "person"), Buddies: textsOf[party.PersonID](r, "buddy"),
		Name: f.Text("name"), Place: f.Text("place"), To: f.Text("going"), Note: f.Paragraph("reason"),
		Party: f.Text("party"), Route: party.Route(f.Text("route")),
		SeenBy: f.Text("seen_by"), Trouble: f.Checked("failed"),
		Factors: textsOf[party.Factor](r, "factor"), Signs: textsOf[party.Sign](r, "sign"),
		Plates: textsOf[string](r, "plate"),
	})
	e.Number = f.Whole("leader", "Give the leader's number.")
	e.Sweep = f.Whole("sweep", "Give the sweep's number.")
	e.Minutes = f.Whole("minutes", "Give whole minutes.")
	e.Step = f.Whole("step", "Choose a step.")
	if len(f.Faults) > 0 {
		return e, errors.New("a count is a whole number")
	}
	if err := readAmounts(f, &e); err != nil {
		return e, err
	}
	return s.completeEvent(r, e)
}

// textsOf returns the values of a field that are not empty.
func textsOf[T ~string](r *http.Request, name string) []T {
	_ = r.PostFormValue(name) // parses the form
	var list []T
	for _, v := range r.PostForm[name] {
		if v != "" {
			list = append(list, T(v))
		}
	}
	return list
}

// readAmounts reads water, and the time of a sighting, which is given in minutes ago.
func readAmounts(f kit.Form, e *party.Event) error {
	for name, into := range map[string]*unit.Volume{"litres": &e.Litres, "gives": &e.Gives} {
		if f.Text(name) == "" {
			continue
		}
		v, err := strconv.ParseFloat(strings.Replace(f.Text(name), ",", ".", 1), 64)
		if err != nil {
			return errors.New("water is a number of liters, such as 2.5")
		}
		*into = unit.Volume(v)
	}
	if f.Text("litres") == "" && (e.Kind == party.KindWater || e.Kind == party.KindStock) {
		return errors.New("enter the liters; 0 if there is none")
	}
	ago := f.Whole("seen_ago", "")
	if len(f.Faults) > 0 || ago < 0 {
		return errors.New("how long ago is a whole number of minutes")
	}
	if f.Text("seen_ago") != "" {
		e.SeenAt = e.At.Add(-time.Duration(ago) * time.Minute)
	}
	return nil
}

// completeEvent fills in what the form does not say.
func (s *Handlers) completeEvent(r *http.Request, e party.Event) (party.Event, error) {
	switch e.Kind {
	case "":
		return e, errors.New("choose what to record")
	case party.KindWater:
		if kit.NewForm(r).Text("all") == allHere {
			return s.withAllUnseen(r, e)
		}
	case party.KindUndone:
		e.Retracts = e.ID
		e.ID = party.EventID(derivedID("undo", e.ID))
	case party.KindJoined:
		return s.completeJoined(r, e)
	case party.KindDeparted:
		e.Place = "trailhead"
	case party.KindCounted:
		if e.Number == 0 && e.Sweep == 0 {
			e.Number = len(e.Persons)
		}
	case party.KindLeftEarly:
		if len(e.Buddies) > 0 && len(e.Persons) > 0 && e.Buddies[0] == e.Persons[0] {
			return e, errors.New("nobody leaves alone: choose another person to walk with them")
		}
	case party.KindSplit, party.KindRejoined:
		return s.withParties(r, e)
	}
	return e, nil
}

// withAllUnseen names everybody who is here and whose water nobody has looked at.
func (s *Handlers) withAllUnseen(r *http.Request, e party.Event) (party.Event, error) {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return e, err
	}
	if e.Persons = party.WaterUnseen(rec.State()); len(e.Persons) == 0 {
		return e, errors.New("the water of everybody here has been checked")
	}
	return e, nil
}

// derivedID makes an ID that is the same whenever the form is sent again.
func derivedID(word string, from party.EventID) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte(word+" "+string(from))).String()
}

// completeJoined names somebody who left early and is back with the group, or adds what a
// walk-up said.
func (s *Handlers) completeJoined(r *http.Request, e party.Event) (party.Event, error) {
	if len(e.Persons) == 0 && kit.NewForm(r).Text("kind") != "joined again" {
		e.Persons = []party.PersonID{party.PersonID(derivedID("joined", e.ID))}
		addAnswers(r, &e)
		return e, nil
	}
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return e, err
	}
	if len(e.Persons) == 1 {
		if p, known := rec.State().Person(e.Persons[0]); known {
			e.Name = p.Name
			return e, nil
		}
	}
	return e, errors.New("choose who is back with the group")
}

// addAnswers keeps what a walk-up said, until they have a sign-up of their own.
func addAnswers(r *http.Request, e *party.Event) {
	f := kit.NewForm(r)
	contact, phone := f.Text("contact"), f.Text("contact_tel")
	e.Minor, e.Agreed = f.Text("age") == "minor", f.Checked("agree")
	if contact != "" && phone != "" {
		e.Contact = contact + ", " + phone
	}
	e.Note = fmt.Sprintf("mobile %s; ring %s %s; water %s L; %s; heard the risks: %t",
		f.Text("mobile"), contact, phone, f.Text("water"), f.Text("age"), e.Agreed)
}

// withParties reads the groups of a split, or their numbers on meeting.
func (s *Handlers) withParties(r *http.Request, e party.Event) (party.Event, error) {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return e, err
	}
	if e.Kind == party.KindSplit {
		e.Parties, err = readSplit(r, rec.State(), e.At)
	} else {
		e.Parties, err = readMeeting(r, rec.State())
	}
	return e, err
}

// readSplit puts the people who are checked in the second group and everybody else who is
// out in the first.
func readSplit(r *http.Request, state party.State, now time.Time) ([]party.Part, error) {
	f := kit.NewForm(r)
	second := setOf(textsOf[party.PersonID](r, "second"))
	by := now.Add(time.Duration(f.Whole("meet_in", "")) * time.Minute)
	parts := []party.Part{
		{Name: f.Text("first_name"), Number: f.Whole("first_number", ""), Meet: f.Text("meet")},
		{Name: f.Text("second_name"), Number: f.Whole("second_number", ""), Meet: f.Text("meet")},
	}
	if len(f.Faults) > 0 {
		return nil, errors.New("numbers and minutes are whole numbers")
	}
	for i := range parts {
		if f.Text("meet_in") != "" {
			parts[i].By = by
		}
	}
	for _, p := range state.People {
		switch {
		case p.Where != party.WhereOut:
		case second[p.ID]:
			parts[1].Take(p)
		default:
			parts[0].Take(p)
		}
	}
	return parts, nil
}

// readMeeting reads each group's number as it comes in, and who is there by name.
func readMeeting(r *http.Request, state party.State) ([]party.Part, error) {
	f := kit.NewForm(r)
	there := setOf(textsOf[party.PersonID](r, "there"))
	var parts []party.Part
	numbers := r.PostForm["party_number"]
	for i, name := range textsOf[string](r, "party_name") {
		part := party.Part{Name: name}
		if i < len(numbers) {
			part.Number = f.WholeOf("party_number", numbers[i], "no number")
		}
		for _, p := range state.People {
			if there[p.ID] && p.Party == name {
				part.Take(p)
			}
		}
		parts = append(parts, part)
	}
	if len(f.Faults) > 0 {
		return nil, errors.New("a count is a whole number")
	}
	return parts, nil
}

func setOf(ids []party.PersonID) map[party.PersonID]bool {
	set := make(map[party.PersonID]bool, len(ids))
	for _, id := range ids {
		set[id] = true
	}
	return set
}
