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

// ShowRoll shows the roll, and lets the phone keep a copy.
func (s *Handlers) ShowRoll(w http.ResponseWriter, r *http.Request) error {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return err
	}
	OfflineCopy(w, rec)
	// Somebody who opens the roll the evening before stays signed in at the trailhead.
	s.Sessions.SetDeadline(r.Context(), s.Now().Add(kit.SessionLife).UTC())
	return s.renderRoll(w, r, http.StatusOK, rec, ui.FormState{}, "")
}

// renderRoll shows the roll, with what was wrong with the last event.
func (s *Handlers) renderRoll(
	w http.ResponseWriter, r *http.Request, status int, rec roll.Record, form ui.FormState, wrong string,
) error {
	if !s.StaffVisibility(r, rec.Hike).CanSee(privacy.KindName) {
		return fault.Refusal(kit.OpensWords("The roll opens to you", rec.Hike))
	}
	t, err := s.LoadHikeData(r.Context(), rec.Hike)
	if err != nil {
		return err
	}
	p, err := s.rollPage(r, t, rec, form, wrong)
	if err != nil {
		return err
	}
	allowProgram(w.Header())
	return s.Render(w, r, status, view.Roll(p))
}

// allowProgram lets this page alone run a WebAssembly program of the site.
func allowProgram(h http.Header) {
	const policy = "Content-Security-Policy"
	h.Set(policy, h.Get(policy)+"; script-src 'self' 'wasm-unsafe-eval'")
}

// RecordRoll stores one event from a form. It is on disk before the answer is sent.
func (s *Handlers) RecordRoll(w http.ResponseWriter, r *http.Request) error {
	id := kit.HikeIn(r).ID
	e, err := s.readEvent(r)
	if err == nil && e.Kind != party.KindDeparted { // MayDepart fills in a departure
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
	http.Redirect(w, r, paths.Roll(id)+partQuery(e.Kind), http.StatusSeeOther)
	return nil
}

// refuseEvent shows the roll again with what was entered and what is wrong with it.
func (s *Handlers) refuseEvent(w http.ResponseWriter, r *http.Request, id ref.Hike, wrong string) error {
	rec, err := s.Rolls.Record(r.Context(), id)
	if err != nil {
		return err
	}
	return s.renderRoll(w, r, http.StatusUnprocessableEntity, rec, kit.FormStateOf(r, nil), wrong)
}

// partQuery is the query for the part of the roll that shows a kind of event.
func partQuery(k party.Kind) string {
	if part := shownIn(k); part != "" {
		return "?part=" + part
	}
	return ""
}

// shownIn returns the part of the roll that shows a kind of event, "" for the default.
func shownIn(k party.Kind) string {
	switch k {
	case party.KindDeparted, party.KindCounted, party.KindLeftEarly, party.KindDelayed, party.KindSplit,
		party.KindRejoined, party.KindThunder:
		return partTrail
	case party.KindBack, party.KindPlate, party.KindCarGone, party.KindCarStays:
		return partBack
	case party.KindMissing, party.KindNamed, party.KindStep, party.KindFound, party.KindTold, party.KindUnwell,
		party.KindNoted:
		return partHelp
	}
	return ""
}
