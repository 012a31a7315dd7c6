package roll

import (
	"errors"
	"net/http"

	"saltbush/internal/fault"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

func (s *Handlers) ShowRoll(w http.ResponseWriter, r *http.Request) error {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return err
	}
	OfflineCopy(w, rec)
	// Whoever opens the roll the evening before is not asked to sign in at the trailhead.
	s.Sessions.SetDeadline(r.Context(), s.Now().Add(kit.SessionLife).UTC())
	return s.renderRoll(w, r, http.StatusOK, rec, ui.FormState{}, "")
}

// renderRoll shows the roll, with what was wrong with the last record.
func (s *Handlers) renderRoll(w http.ResponseWriter, r *http.Request, status int, rec roll.Record, a ui.FormState, wrong string) error {
	if !s.StaffVisibility(r, rec.Hike).CanSee(privacy.KindName) {
		return fault.Refusal(kit.OpensWords("The roll opens to you", rec.Hike))
	}
	t, err := s.LoadHikeData(r.Context(), rec.Hike)
	if err != nil {
		return err
	}
	return s.Render(w, r, status, view.Roll(s.rollPage(r, t, rec, a, wrong)))
}

// RecordRoll takes one record from a form. It is on disk before the answer leaves.
func (s *Handlers) RecordRoll(w http.ResponseWriter, r *http.Request) error {
	id := kit.HikeIn(r).ID
	e, err := s.readEvent(r)
	if err == nil && e.Kind != party.KindDeparted { // who departs is settled where it is kept
		err = roll.Validate(e)
	}
	if err != nil {
		return s.refuseEvent(w, r, id, kit.Sentence(err))
	}
	_, err = s.Rolls.Append(r.Context(), id, []party.Event{e}, s.Now(), roll.MayDepart)
	var refusal fault.Refusal
	if e.Kind == party.KindDeparted && errors.As(err, &refusal) {
		return s.refuseEvent(w, r, id, string(refusal))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, paths.Roll(id)+partAfter(e.Kind), http.StatusSeeOther)
	return nil
}

// refuseEvent shows the roll again with what was typed and what is wrong with it.
func (s *Handlers) refuseEvent(w http.ResponseWriter, r *http.Request, id ref.Hike, wrong string) error {
	rec, err := s.Rolls.Record(r.Context(), id)
	if err != nil {
		return err
	}
	return s.renderRoll(w, r, http.StatusUnprocessableEntity, rec, kit.FormStateOf(r, nil), wrong)
}

// partAfter is the address of the part of the roll that shows what was recorded.
func partAfter(k party.Kind) string {
	if part := shownIn(k); part != "" {
		return "?part=" + part
	}
	return ""
}

// shownIn is the part of the roll that shows records of a kind, "" for where one is.
func shownIn(k party.Kind) string {
	switch k {
	case party.KindDeparted, party.KindCounted, party.KindLeftEarly, party.KindDelayed, party.KindSplit, party.KindRejoined, party.KindThunder:
		return partTrail
	case party.KindBack, party.KindPlate, party.KindCarGone:
		return partBack
	case party.KindMissing, party.KindStep, party.KindFound, party.KindTold, party.KindUnwell:
		return partHelp
	}
	return ""
}
