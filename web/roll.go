package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/web/view"
)

func rollPath(id hike.HikeID) string { return hikePath(id) + "/roll" }

func (s *Server) showRoll(w http.ResponseWriter, r *http.Request) error {
	rec, err := s.Rolls.Record(r.Context(), hikeIn(r).ID)
	if err != nil {
		return err
	}
	offlineCopy(w, rec)
	// Whoever opens the roll the evening before is not asked to sign in at the trailhead.
	s.sessions.SetDeadline(r.Context(), s.Now().Add(sessionLife).UTC())
	return s.renderRoll(w, r, http.StatusOK, rec, view.Answers{}, "")
}

// renderRoll shows the roll, with what was wrong with the last record.
func (s *Server) renderRoll(w http.ResponseWriter, r *http.Request, status int, rec roll.Record, a view.Answers, wrong string) error {
	t, err := s.tell(r.Context(), rec.Hike)
	if err != nil {
		return err
	}
	return s.render(w, r, status, view.Roll(s.rollPage(r, t, rec, a, wrong)))
}

// recordRoll takes one record from a form. It is on disk before the answer leaves.
func (s *Server) recordRoll(w http.ResponseWriter, r *http.Request) error {
	id := hikeIn(r).ID
	e, err := s.readEvent(r)
	if err == nil {
		err = e.Validate()
	}
	if err != nil {
		return s.refuseEvent(w, r, id, sentence(err))
	}
	if e.Kind == roll.KindDeparted {
		if err := s.mayDepart(r, e); err != nil {
			return s.refuseEvent(w, r, id, err.Error())
		}
	}
	if _, err := s.Rolls.Append(r.Context(), id, []roll.Event{e}, s.Now()); err != nil {
		return err
	}
	http.Redirect(w, r, rollPath(id)+partAfter(e.Kind), http.StatusSeeOther)
	return nil
}

// refuseEvent shows the roll again with what was typed and what is wrong with it.
func (s *Server) refuseEvent(w http.ResponseWriter, r *http.Request, id hike.HikeID, wrong string) error {
	rec, err := s.Rolls.Record(r.Context(), id)
	if err != nil {
		return err
	}
	return s.renderRoll(w, r, http.StatusUnprocessableEntity, rec, answers(r, nil), wrong)
}

// partAfter is the address of the part of the roll that shows what was recorded.
func partAfter(k roll.Kind) string {
	if part := shownIn(k); part != "" {
		return "?part=" + part
	}
	return ""
}

// shownIn is the part of the roll that shows records of a kind, "" for where one is.
func shownIn(k roll.Kind) string {
	switch k {
	case roll.KindDeparted, roll.KindCounted, roll.KindLeftEarly, roll.KindDelayed:
		return partTrail
	case roll.KindBack, roll.KindAtCar:
		return partBack
	}
	return ""
}

// undo is the word on buttons that take a record back; the record's id goes with it.
const undo = "undo"

// kindsOfForm are the words on the buttons and what they record.
func kindsOfForm() map[string]roll.Kind {
	return map[string]roll.Kind{
		"here": roll.KindHere, "not here": roll.KindAbsent, "joined": roll.KindJoined, "turned away": roll.KindTurnedAway,
		"departed": roll.KindDeparted, "counted": roll.KindCounted, "left early": roll.KindLeftEarly,
		"at the car": roll.KindAtCar, "back": roll.KindBack, undo: roll.KindUndone, "stood down": roll.KindStoodDown,
	}
}

// readEvent makes a record of a form. The id was made with the form, so a form that is
// sent twice is one record.
func (s *Server) readEvent(r *http.Request) (roll.Event, error) {
	f := newForm(r)
	e := roll.Event{
		ID: roll.EventID(f.text("event")), Kind: kindsOfForm()[f.text("kind")], At: s.Now(), By: nameOf(r), Device: "form",
		Name: f.text("name"), Place: f.text("place"), To: f.text("going"), Note: f.text("reason"),
	}
	for _, p := range r.PostForm["person"] {
		e.Persons = append(e.Persons, roll.PersonID(p))
	}
	if b := f.text("buddy"); b != "" {
		e.Buddies = []roll.PersonID{roll.PersonID(b)}
	}
	e.Number = f.whole("leader", "Give the leader's number.")
	e.Sweep = f.whole("sweep", "Give the sweep's number.")
	if len(f.faults) > 0 {
		return e, errors.New("a count is a whole number")
	}
	return s.completeEvent(r, e)
}

// completeEvent adds what the roll itself knows.
func (s *Server) completeEvent(r *http.Request, e roll.Event) (roll.Event, error) {
	switch e.Kind {
	case "":
		return e, errors.New("choose what to record")
	case roll.KindUndone:
		e.Retracts = e.ID
		e.ID = roll.EventID(uuid.NewSHA1(uuid.NameSpaceOID, []byte("undo "+e.ID)).String())
	case roll.KindJoined:
		e.Persons = []roll.PersonID{roll.PersonID(uuid.NewSHA1(uuid.NameSpaceOID, []byte("joined "+e.ID)).String())}
		e.Note = walkUpNote(r)
	case roll.KindDeparted:
		rec, err := s.Rolls.Record(r.Context(), hikeIn(r).ID)
		if err != nil {
			return e, err
		}
		for _, p := range rec.State().People {
			if p.Where == roll.WhereHere {
				e.Persons = append(e.Persons, p.ID)
			}
		}
		e.Number, e.Place = len(e.Persons), "trailhead"
	case roll.KindLeftEarly:
		if len(e.Buddies) > 0 && len(e.Persons) > 0 && e.Buddies[0] == e.Persons[0] {
			return e, errors.New("nobody leaves alone: choose another person to walk with them")
		}
	}
	return e, nil
}

// walkUpNote keeps what a walk-up said, until they have a sign-up of their own.
func walkUpNote(r *http.Request) string {
	f := newForm(r)
	return fmt.Sprintf("mobile %s; ring %s %s; water %s L; %s; heard the risks: %s",
		f.text("mobile"), f.text("contact"), f.text("contact_tel"), f.text("water"), f.text("age"), strconv.FormatBool(f.checked("agree")))
}

// mayDepart holds the few rules that stop a party at the trailhead.
func (s *Server) mayDepart(r *http.Request, e roll.Event) error {
	rec, err := s.Rolls.Record(r.Context(), hikeIn(r).ID)
	if err != nil {
		return err
	}
	if blocked := roll.Blocked(rec); blocked != "" && e.Note == "" {
		return hike.Refusal(blocked + " To leave all the same, write the reason.")
	}
	return nil
}
