package roll

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/roll"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// undo is the word on buttons that take a record back; the record's id goes with it.
const undo = "undo"

// kindsOfForm are the words on the buttons and what they record.
func kindsOfForm() map[string]roll.Kind {
	return map[string]roll.Kind{
		"here": roll.KindHere, "not here": roll.KindAbsent, "joined": roll.KindJoined, "joined again": roll.KindJoined, "turned away": roll.KindTurnedAway,
		"departed": roll.KindDeparted, "counted": roll.KindCounted, "left early": roll.KindLeftEarly,
		"at the car": roll.KindAtCar, "back": roll.KindBack, undo: roll.KindUndone, "stood down": roll.KindStoodDown,
		"water": roll.KindWater, "stock": roll.KindStock, "in charge": roll.KindInCharge,
		"split": roll.KindSplit, "rejoined": roll.KindRejoined, "delayed": roll.KindDelayed, "thunder": roll.KindThunder,
		"missing": roll.KindMissing, "step": roll.KindStep, "found": roll.KindFound, "told": roll.KindTold, "unwell": roll.KindUnwell,
		"plate": roll.KindPlate, "car gone": roll.KindCarGone,
	}
}

// readEvent makes a record of a form. The id was made with the form, so a form that is
// sent twice is one record.
func (s *Handlers) readEvent(r *http.Request) (roll.Event, error) {
	f := kit.NewForm(r)
	e := roll.Event{
		ID: roll.EventID(f.Text("event")), Kind: kindsOfForm()[f.Text("kind")], At: s.Now(), By: kit.NameOf(r), Device: "form",
		Name: f.Text("name"), Place: f.Text("place"), To: f.Text("going"), Note: f.Paragraph("reason"), Party: f.Text("party"),
		Route: roll.Route(f.Text("route")), SeenBy: f.Text("seen_by"), Trouble: f.Checked("failed"),
		Persons: textsOf[roll.PersonID](r, "person"), Buddies: textsOf[roll.PersonID](r, "buddy"),
		Factors: textsOf[roll.Factor](r, "factor"), Signs: textsOf[roll.Sign](r, "sign"), Plates: textsOf[string](r, "plate"),
	}.Cleaned()
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

// textsOf are the answers of one name that are not empty.
func textsOf[T ~string](r *http.Request, name string) []T {
	_ = r.PostFormValue(name) // reads the form
	var list []T
	for _, v := range r.PostForm[name] {
		if v != "" {
			list = append(list, T(v))
		}
	}
	return list
}

// readAmounts reads water, and times that are given as minutes from now.
func readAmounts(f kit.Form, e *roll.Event) error {
	for name, into := range map[string]*unit.Volume{"litres": &e.Litres, "gives": &e.Gives} {
		if f.Text(name) == "" {
			continue
		}
		v, err := strconv.ParseFloat(strings.Replace(f.Text(name), ",", ".", 1), 64)
		if err != nil {
			return errors.New("water is a number of litres, such as 2.5")
		}
		*into = unit.Volume(v)
	}
	if f.Text("litres") == "" && (e.Kind == roll.KindWater || e.Kind == roll.KindStock) {
		return errors.New("write the litres; 0 where there is none")
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

// completeEvent adds what the roll itself knows.
func (s *Handlers) completeEvent(r *http.Request, e roll.Event) (roll.Event, error) {
	f := kit.NewForm(r)
	switch e.Kind {
	case "":
		return e, errors.New("choose what to record")
	case roll.KindUndone:
		e.Retracts = e.ID
		e.ID = roll.EventID(uuid.NewSHA1(uuid.NameSpaceOID, []byte("undo "+e.ID)).String())
	case roll.KindJoined:
		if len(e.Persons) > 0 || f.Text("kind") == "joined again" {
			return s.joinedAgain(r, e)
		}
		e.Persons = []roll.PersonID{roll.PersonID(uuid.NewSHA1(uuid.NameSpaceOID, []byte("joined "+e.ID)).String())}
		walkUp(r, &e)
	case roll.KindDeparted:
		e.Place = "trailhead"
	case roll.KindCounted:
		if e.Number == 0 && e.Sweep == 0 {
			e.Number = len(e.Persons)
		}
	case roll.KindLeftEarly:
		if len(e.Buddies) > 0 && len(e.Persons) > 0 && e.Buddies[0] == e.Persons[0] {
			return e, errors.New("nobody leaves alone: choose another person to walk with them")
		}
	case roll.KindSplit, roll.KindRejoined:
		return s.withParties(r, e)
	}
	return e, nil
}

// joinedAgain names whoever left early and is back with the group.
func (s *Handlers) joinedAgain(r *http.Request, e roll.Event) (roll.Event, error) {
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

// withParties reads the parties of a split, or their numbers on meeting.
func (s *Handlers) withParties(r *http.Request, e roll.Event) (roll.Event, error) {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return e, err
	}
	if e.Kind == roll.KindSplit {
		e.Parties, err = splitOf(r, rec.State(), e.At)
	} else {
		e.Parties, err = meetingOf(r, rec.State())
	}
	return e, err
}

// splitOf puts those who are ticked in the second party and all others who are out in the
// first.
func splitOf(r *http.Request, state roll.State, now time.Time) ([]roll.Part, error) {
	f := kit.NewForm(r)
	second := map[roll.PersonID]bool{}
	for _, id := range textsOf[roll.PersonID](r, "second") {
		second[id] = true
	}
	by := now.Add(time.Duration(f.Whole("meet_in", "")) * time.Minute)
	parts := []roll.Part{
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
	for _, p := range state.OnTrail() {
		if p.Where != roll.WhereOut {
			continue
		}
		part := &parts[0]
		if second[p.ID] {
			part = &parts[1]
		}
		part.Take(p)
	}
	return parts, nil
}

// meetingOf reads each party's number as it comes in, and who is there by name.
func meetingOf(r *http.Request, state roll.State) ([]roll.Part, error) {
	f := kit.NewForm(r)
	there := map[roll.PersonID]bool{}
	for _, id := range textsOf[roll.PersonID](r, "there") {
		there[id] = true
	}
	var parts []roll.Part
	numbers := r.PostForm["party_number"]
	for i, name := range textsOf[string](r, "party_name") {
		part := roll.Part{Name: name}
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

// walkUp keeps what a walk-up said, until they have a sign-up of their own.
func walkUp(r *http.Request, e *roll.Event) {
	f := kit.NewForm(r)
	e.Minor, e.Agreed = f.Text("age") == "minor", f.Checked("agree")
	if f.Text("contact") != "" && f.Text("contact_tel") != "" {
		e.Contact = f.Text("contact") + ", " + f.Text("contact_tel")
	}
	e.Note = fmt.Sprintf("mobile %s; ring %s %s; water %s L; %s; heard the risks: %s",
		f.Text("mobile"), f.Text("contact"), f.Text("contact_tel"), f.Text("water"), f.Text("age"), strconv.FormatBool(e.Agreed))
}
