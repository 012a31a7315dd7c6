package web

import (
	"context"
	"errors"
	"net/http"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/web/view"
)

// placeScreening tells the person what the talk is about, or what it came to, and lets
// them answer back.
func (s *Server) placeScreening(p *view.PlacePage, r *http.Request, t told, place hike.SignUp) {
	sc := place.Screening
	if place.State == hike.Asked {
		p.Talk = view.NoteText{Title: "The leader would like a word first", Points: sc.Talk,
			Text: "It is a talk about what you walked lately, what you bring and what you hope for. Most people come after it; some choose another hike."}
	}
	if place.State != hike.TurnedAway || sc.Outcome == "" {
		return
	}
	p.Talk = view.NoteText{Title: "What the talk came to: " + string(sc.Outcome), Text: sc.Reason + " The criterion, the same for all: " + sc.Criterion + "."}
	p.Suggested = s.suggestions(r.Context(), place, s.unitsOf(r))
	p.AnswerURL, p.Answered = "/place/"+secretIn(r)+"/answer", sc.Answer
	p.AnswerBack = view.Field{Name: "answer", Label: "What should the leader know?", Hint: "The leader reads it and may open the talk again.", Value: sc.Answer}
}

// suggestions lists other hikes that the person's record speaks for.
func (s *Server) suggestions(ctx context.Context, place hike.SignUp, u view.System) []view.Line {
	coming, err := s.Hikes.Hikes(ctx, s.Now(), s.Now().AddDate(0, 2, 0))
	if err != nil {
		s.Log.Error("list hikes", "err", err)
		return nil
	}
	var lines []view.Line
	for _, l := range hike.Suggest(place, coming, s.Now()) {
		line := trailLine(l.Trail, u)
		lines = append(lines, view.Line{Label: view.Day(l.Hike.Start, l.Trail.Location()), Value: l.Hike.Title, URL: hikePath(l.Hike.ID),
			Note: line.Length + ", " + ascentNote(line)})
	}
	return lines
}

// placeContact shows whom we ring, what is wrong with it, and lets the person replace it.
func placeContact(p *view.PlacePage, r *http.Request, t told, place hike.SignUp, a view.Answers) {
	if place.State == hike.Withdrawn || place.State == hike.TurnedAway {
		return
	}
	p.ContactURL = "/place/" + secretIn(r) + "/contact"
	p.Contact = view.Line{Label: "In need we ring", Value: place.EmergencyName + ", " + place.EmergencyPhone, Note: contactNote(place, t)}
	if hike.ContactWalks(place, t.signUps, t.hike.Staff) {
		p.ContactWrong = view.NoteText{Kind: view.NoteGrave, Title: "Not fit for departure until replaced",
			Text: "The person you named is on this hike too. Name somebody who stays behind."}
	}
	if a.Typed == nil {
		a.Typed = map[string][]string{"contact": {place.EmergencyName}, "contact_tel": {place.EmergencyPhone}, "contact_email": {place.ContactEmail}}
	}
	p.ContactFields = []view.Field{
		a.Asked(view.Field{Name: "contact", Label: "Whom do we ring?"}),
		a.Asked(view.Field{Name: "contact_tel", Label: "Their phone number", Hint: "Start a foreign number with + and the country.", Kind: "tel"}),
		a.Asked(view.Field{Name: "contact_email", Label: "Their mail address", Kind: "email", Optional: true}),
	}
}

func contactNote(place hike.SignUp, t told) string {
	switch {
	case !place.ContactConfirmed.IsZero():
		return "said on " + view.Moment(place.ContactConfirmed, t.zone()) + " that they can be reached"
	case !place.ContactAsked.IsZero():
		return "asked on " + view.Moment(place.ContactAsked, t.zone()) + ", no answer yet"
	case place.ContactEmail != "":
		return "asked by mail three days before the hike"
	}
	return "a leader rings them before the hike"
}

// placeOthers says how a child and a friend come along.
func placeOthers(p *view.PlacePage, r *http.Request, base string, t told, place hike.SignUp) {
	if place.Minor || p.Withdraw.URL == "" {
		return
	}
	p.ChildURL = "/place/" + secretIn(r) + "/child"
	p.FriendURL = base + hikePath(t.hike.ID) + "/sign-up"
}

// showChild is the form for a child whom the holder of the place brings, with what is
// known already filled in.
func (s *Server) showChild(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	t, err := s.tell(r.Context(), h)
	if err != nil {
		return err
	}
	typed := map[string][]string{
		"email": {place.Email}, "mobile": {place.Mobile}, "adult": {place.Name}, "age": {"minor"}, "contact": {place.EmergencyName},
		"contact_tel": {place.EmergencyPhone}, "contact_email": {place.ContactEmail}, "guardian_tel": {place.Mobile},
	}
	return s.render(w, r, http.StatusOK, view.Signup(s.signUpPage(r, t, view.Answers{Typed: typed})))
}

func (s *Server) takePlace(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, func(p *hike.SignUp) error { return p.Take(s.Now()) }, "The place is yours.")
}

func (s *Server) answerBack(w http.ResponseWriter, r *http.Request) error {
	answer := newForm(r).paragraph("answer")
	return s.changePlace(w, r, func(p *hike.SignUp) error { return p.AnswerBack(answer, s.Now()) }, "Kept. The leader of the hike reads it.")
}

// replaceContact names another emergency contact.
func (s *Server) replaceContact(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	t, err := s.tell(r.Context(), h)
	if err != nil {
		return err
	}
	f := newForm(r)
	err = place.ReplaceContact(f.text("contact"), f.text("contact_tel"), f.text("contact_email"), hike.RegionOf(t.trail.Zone), t.signUps, h.Staff)
	var wrong hike.Invalid
	if errors.As(err, &wrong) {
		p := s.placePage(r, t, placeIn(r))
		placeContact(&p, r, t, placeIn(r), answers(r, wrong))
		return s.render(w, r, http.StatusUnprocessableEntity, view.Place(p))
	}
	if err != nil {
		return err
	}
	return s.changePlace(w, r, func(p *hike.SignUp) error {
		p.EmergencyName, p.EmergencyPhone, p.ContactEmail = place.EmergencyName, place.EmergencyPhone, place.ContactEmail
		p.ContactAsked, p.ContactConfirmed = place.ContactAsked, place.ContactConfirmed
		return nil
	}, "Replaced.")
}

// contactOf opens the link of an emergency contact.
func (s *Server) contactOf(r *http.Request) (hike.SignUp, hike.Hike, error) {
	secret, err := account.ParseSecret(chi.URLParam(r, "secret"))
	if err != nil {
		return hike.SignUp{}, hike.Hike{}, err
	}
	link, err := s.Accounts.LinkByHash(r.Context(), secret.Hash())
	if err == nil {
		err = link.Open(secret, account.Contact, s.Now())
	}
	if err != nil {
		return hike.SignUp{}, hike.Hike{}, err
	}
	p, err := s.Hikes.SignUpByID(r.Context(), link.Subject)
	if err != nil {
		return p, hike.Hike{}, err
	}
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	return p, h, err
}

// showContact is the page on which a contact says that they can be reached.
func (s *Server) showContact(w http.ResponseWriter, r *http.Request) error {
	p, h, err := s.contactOf(r)
	if err != nil {
		return err
	}
	page := view.ContactPage{Page: s.page(r, "Can we reach you?", ""), Walker: p.Name, Hike: h.Title,
		Date: view.Day(h.Start, h.Start.Location()), Done: !p.ContactConfirmed.IsZero(), URL: r.URL.Path}
	page.Private = true
	return s.render(w, r, http.StatusOK, view.Contact(page))
}

// confirmContact keeps the contact's yes.
func (s *Server) confirmContact(w http.ResponseWriter, r *http.Request) error {
	p, _, err := s.contactOf(r)
	if err != nil {
		return err
	}
	now := s.Now()
	if _, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, now, func(p *hike.SignUp) error { p.ContactConfirmed = now; return nil }); err != nil {
		return err
	}
	return s.seeOther(w, r, r.URL.Path, "Thank you. Keep your phone with you that day.")
}
