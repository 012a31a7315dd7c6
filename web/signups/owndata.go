package signups

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ownData is all that is on file about one person for one hike.
type ownData struct {
	Hike     string
	Meet     time.Time
	Person   signup.SignUp
	Card     *card.Card // nil where there is none
	CardLost bool       // there is one, and it cannot be read
	Openings []card.Opening
	Records  retention.OwnRecords
	Kept     map[string]string // how long, by class of data
}

func (s *Handlers) ownDataOf(r *http.Request) (d ownData, h hike.Hike, err error) {
	p := kit.PlaceIn(r)
	if h, err = s.Hikes.Hike(r.Context(), p.Hike); err != nil {
		return d, h, err
	}
	d = ownData{Hike: h.Title, Meet: h.Meet, Person: p, Kept: retentionPeriods(h.Rules())}
	if err := s.ownCard(r, p, &d); err != nil {
		return d, h, err
	}
	if d.Openings, err = s.Cards.OpeningsOf(r.Context(), kit.OfPlace(p)); err != nil {
		return d, h, err
	}
	d.Records, err = s.Kept.OwnRecords(r.Context(), p.ID)
	return d, h, err
}

// ownCard adds the medical card. A card that cannot be read is marked so, and the rest is still
// shown.
func (s *Handlers) ownCard(r *http.Request, p signup.SignUp, d *ownData) error {
	if !p.Carded {
		return nil
	}
	c, err := s.Cards.OwnCard(r.Context(), kit.OfPlace(p))
	switch {
	case errors.Is(err, card.ErrOtherKey), errors.Is(err, card.ErrDamaged), errors.Is(err, card.ErrNoKey):
		d.CardLost = true
	case err != nil && !errors.Is(err, fault.ErrNotFound):
		return err
	case err == nil:
		d.Card = &c
	}
	return nil
}

// retentionPeriods says how long each class of data is kept after the close.
func retentionPeriods(rules rules.Rules) map[string]string {
	kept := map[string]string{}
	for _, k := range retention.DataClasses() {
		kept[string(k)] = retentionPeriod(rules, k) + " after the hike is closed"
	}
	return kept
}

// retentionPeriod says how long a class of data is kept, in years where they are whole.
func retentionPeriod(rules rules.Rules, k retention.DataClass) string {
	days := int(retention.KeepFor(rules, k).Hours() / 24)
	if days >= 365 && days%365 == 0 {
		return format.Count(days/365, "year", "years")
	}
	return format.Count(days, "day", "days")
}

// DownloadOwnData answers with the data as a file.
func (s *Handlers) DownloadOwnData(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.ownDataOf(r)
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(d.file(), "", "  ")
	if err != nil {
		return err
	}
	s.logOwnData(r, d, "own data taken")
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="my-data.json"`)
	w.Header().Set("Cache-Control", "no-store")
	_, err = w.Write(append(text, '\n'))
	return err
}

// logOwnData notes in the log what was done. It leaves out by whom, because the log is kept longer
// than names.
func (s *Handlers) logOwnData(r *http.Request, d ownData, what string) {
	err := s.Kept.Note(r.Context(),
		retention.LogEntry{At: s.Now(), By: "a person with a place", What: what, About: d.Hike})
	if err != nil {
		s.Log.Error("note in the log", "what", what, "err", err)
	}
}

// ShowOwnData shows a person all data that is kept about them for one hike.
func (s *Handlers) ShowOwnData(w http.ResponseWriter, r *http.Request) error {
	return s.renderOwnData(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderOwnData(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	d, h, err := s.ownDataOf(r)
	if err != nil {
		return err
	}
	zone, at := h.Start.Location(), "/place/"+kit.SecretIn(r)
	p := view.OwnDataPage{Page: s.Page(r, "What is kept of you", ""), Hike: h.Title + ", " + format.Day(h.Start, zone),
		Person: d.Person.Name,
		Parts:  d.parts(h.Rules(), zone), JSONURL: at + "/data.json", BackURL: at, DeleteURL: at + "/data",
		Delete: view.NewDeleteBox(a), Stays: s.keptAfterDeletion(h, kit.PlaceIn(r))}
	p.Private = true
	switch {
	case d.Records.Held:
		p.Refused = "A legal hold stands on this hike: something happened on it, or a claim is open. Nothing of it " +
			"may be deleted, by anybody, until the hold is lifted. Ask again then."
	case h.State != hike.Closed && h.OnDay(s.Now()):
		p.Refused = "This hike is about to leave, out, or not closed yet. What is kept of you is there to find you " +
			"and to bring you home; ask again when the hike is closed."
	case holdsPlaceAhead(h, kit.PlaceIn(r), s.Now()):
		p.First = "The hike is ahead, so your place is given back and goes to the next on the list."
	}
	return s.Render(w, r, status, view.OwnData(p))
}

// holdsPlaceAhead reports whether the person has a place on a future hike, or waits for one, which
// is given back before the deletion.
func holdsPlaceAhead(h hike.Hike, p signup.SignUp, now time.Time) bool {
	return h.State == hike.Posted && now.Before(h.Start) && p.State != signup.Withdrawn && p.State != signup.TurnedAway
}

// keptAfterDeletion says what a deletion leaves, and why.
func (s *Handlers) keptAfterDeletion(h hike.Hike, p signup.SignUp) []string {
	if p.State != signup.Confirmed || holdsPlaceAhead(h, p, s.Now()) {
		return []string{"Nothing that names you. You did not walk, so no claim needs anything of you."}
	}
	return []string{
		fmt.Sprintf("Who accepted the risks: your name, your guardian's if you are under age, the text and when. A "+
			"claim may need it for %s, counted for minors from their majority.",
			retentionPeriod(h.Rules(), retention.Waivers)),
		fmt.Sprintf("Free notes that staff wrote on the roll may name you; they go with all names, %s after the close.",
			retentionPeriod(h.Rules(), retention.Names)),
		"The logs of the watch and of opened cards, which are never changed. What a card said is not in them.",
		"That somebody walked, when and where: your place on the roll has no name any more.",
	}
}

// DeleteOwnData gives the place back where the hike is in the future, then deletes. It answers with
// the last page, because the link opens nothing afterwards.
func (s *Handlers) DeleteOwnData(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	if !f.Checked("sure") {
		f.Faults.Add("sure", "Tick this box if you want it deleted.")
		return s.renderOwnData(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	p := kit.PlaceIn(r)
	d, h, err := s.ownDataOf(r)
	if err != nil {
		return err
	}
	stays := s.keptAfterDeletion(h, p)
	if d.Records.Held || h.State != hike.Closed && h.OnDay(s.Now()) { // before the place is given back
		return s.renderOwnData(w, r, http.StatusConflict, ui.FormState{})
	}
	if holdsPlaceAhead(h, p, s.Now()) {
		_, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, s.Now(), (*signup.SignUp).Withdraw,
			s.notify.ChangedMails(h, notify.NoLetter))
		if err != nil {
			return err
		}
		s.notify.NotifyRides(r.Context(), h.ID)
	}
	if err := s.Kept.ForgetPerson(r.Context(), p.ID, s.Now(), h.Rules()); err != nil {
		return err
	}
	s.logOwnData(r, d, "own data deleted")
	gone := view.OwnDeletedPage{Page: s.Page(r, "Deleted", ""), Stays: stays}
	gone.Private = true
	return s.Render(w, r, http.StatusOK, view.OwnDeleted(gone))
}
