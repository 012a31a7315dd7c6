package signups

import (
	"context"
	"errors"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// placeScreening says what the talk is about or what it came to, and lets the person answer.
func (s *Handlers) placeScreening(p *view.PlacePage, r *http.Request, _ hike.Data, place signup.SignUp) {
	sc := place.Screening
	if place.State == signup.Asked {
		p.Talk = ui.NoteText{Title: "The leader would like a word first", Points: sc.Talk,
			Text: "It is a talk about what you walked lately, what you bring and what you hope for. Most people come " +
				"after it; some choose another hike."}
	}
	if place.State != signup.TurnedAway || sc.Outcome == "" {
		return
	}
	p.Talk = ui.NoteText{Title: "What the talk came to: " + string(sc.Outcome),
		Text: sc.Reason + " The criterion, the same for all: " + sc.Criterion + "."}
	p.Suggested = s.suggestions(r.Context(), place, s.UnitsOf(r))
	p.AnswerURL, p.Answered = "/place/"+kit.SecretIn(r)+"/answer", sc.Answer
	p.AnswerBack = ui.Field{Name: "answer", Label: "What should the leader know?",
		Hint: "The leader reads it and may open the talk again.", Value: sc.Answer}
}

// suggestions lists other hikes that fit the person's record.
func (s *Handlers) suggestions(ctx context.Context, place signup.SignUp, u format.System) []format.Line {
	coming, err := s.Hikes.Hikes(ctx, s.Now(), s.Now().AddDate(0, 2, 0))
	if err != nil {
		s.Log.Error("list hikes", "err", err)
		return nil
	}
	var lines []format.Line
	for _, l := range hike.Suggest(place, coming, s.Now()) {
		line := kit.TrailLine(l.Trail, u)
		lines = append(lines, format.Line{Label: format.Day(l.Hike.Start, l.Trail.Location()), Value: l.Hike.Title,
			URL:  paths.Hike(l.Hike.ID),
			Note: line.Length + ", " + ascentNote(line)})
	}
	return lines
}

// placeContact shows the emergency contact and what is wrong with it, and lets the person replace
// it.
func placeContact(p *view.PlacePage, r *http.Request, t hike.Data, place signup.SignUp, a ui.FormState) {
	if place.State == signup.Withdrawn || place.State == signup.TurnedAway {
		return
	}
	p.ContactURL = "/place/" + kit.SecretIn(r) + "/contact"
	p.Contact = format.Line{Label: "In an emergency we call",
		Value: place.EmergencyName + ", " + place.EmergencyPhone, Note: contactNote(place, t)}
	if signup.ContactWalks(place, t.SignUps, t.Hike.Staff) {
		p.ContactWrong = ui.NoteText{Kind: ui.NoteGrave, Title: "Not fit for departure until replaced",
			Text: "The person you named is on this hike too. Name somebody who stays behind."}
	}
	p.ContactFields = ContactForm().Filled(a, place)
}

// ContactForm asks the holder of a place for another emergency contact.
func ContactForm() kit.Questions[signup.SignUp] {
	return kit.Questions[signup.SignUp]{
		kit.Line(ui.Field{Name: "contact", Label: "Who should we call?"},
			func(p *signup.SignUp) *string { return &p.EmergencyName }),
		kit.Line(ui.Field{
			Name: "contact_tel", Label: "Their phone number", Kind: "tel",
			Hint: "Start a foreign number with + and the country.",
		}, func(p *signup.SignUp) *string { return &p.EmergencyPhone }),
		kit.Line(ui.Field{Name: "contact_email", Label: "Their mail address", Kind: "email", Optional: true},
			func(p *signup.SignUp) *string { return &p.ContactEmail }),
	}
}

// contactNote says whether the contact can be reached.
func contactNote(place signup.SignUp, t hike.Data) string {
	switch {
	case !place.ContactConfirmed.IsZero():
		return "said on " + format.Moment(place.ContactConfirmed, t.Zone()) + " that they can be reached"
	case !place.ContactAsked.IsZero():
		return "asked on " + format.Moment(place.ContactAsked, t.Zone()) + ", no answer yet"
	case place.ContactEmail != "":
		return "asked by mail three days before the hike"
	}
	return "a leader will call them before the hike"
}

// placeOthers says how to sign up a child and how to invite a friend.
func placeOthers(p *view.PlacePage, r *http.Request, base string, t hike.Data, place signup.SignUp) {
	if place.Minor || p.Withdraw.URL == "" {
		return
	}
	p.ChildURL = "/place/" + kit.SecretIn(r) + "/child"
	p.FriendURL = base + paths.Hike(t.Hike.ID) + "/sign-up"
}

// ShowChild shows the form for a child whom the holder of the place brings, with what is known
// filled in.
func (s *Handlers) ShowChild(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	child := Answers{SignUp: signup.SignUp{
		Email: place.Email, Mobile: place.Mobile, Adult: place.Name, Minor: true, GuardianPhone: place.Mobile,
		EmergencyName: place.EmergencyName, EmergencyPhone: place.EmergencyPhone, ContactEmail: place.ContactEmail,
	}}
	known := ui.FormState{Values: s.signUpForm(t, s.UnitsOf(r)).Values(child)}
	return s.Render(w, r, http.StatusOK, view.Signup(s.signUpPage(r, t, known)))
}

// TakePlace accepts an offered place.
func (s *Handlers) TakePlace(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, func(p *signup.SignUp) error { return p.Take(s.Now()) }, "The place is yours.")
}

// AnswerBack stores a person's answer to a refusal.
func (s *Handlers) AnswerBack(w http.ResponseWriter, r *http.Request) error {
	answer := kit.NewForm(r).Paragraph("answer")
	return s.changePlace(w, r, func(p *signup.SignUp) error { return p.AnswerBack(answer, s.Now()) },
		"Kept. The leader of the hike reads it.")
}

// ReplaceContact names another emergency contact.
func (s *Handlers) ReplaceContact(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	var to signup.SignUp
	ContactForm().Read(f, &to)
	err = place.ReplaceContact(to.EmergencyName, to.EmergencyPhone, to.ContactEmail, signup.RegionOf(t.Trail.Zone),
		t.SignUps, h.Staff)
	var wrong fault.Invalid
	if errors.As(err, &wrong) {
		p := s.placePage(r, t, kit.PlaceIn(r))
		placeContact(&p, r, t, kit.PlaceIn(r), kit.FormStateOf(r, wrong))
		return s.Render(w, r, http.StatusUnprocessableEntity, view.Place(p))
	}
	if err != nil {
		return err
	}
	return s.changePlace(w, r, func(p *signup.SignUp) error {
		p.EmergencyName, p.EmergencyPhone, p.ContactEmail = place.EmergencyName, place.EmergencyPhone,
			place.ContactEmail
		p.ContactAsked, p.ContactConfirmed = place.ContactAsked, place.ContactConfirmed
		return nil
	}, "Replaced.")
}

// contactOf opens the link of an emergency contact.
func (s *Handlers) contactOf(r *http.Request) (signup.SignUp, hike.Hike, error) {
	link, err := account.OpenLink(r.Context(), s.Accounts, kit.SecretIn(r), account.Contact, s.Now())
	if err != nil {
		return signup.SignUp{}, hike.Hike{}, err
	}
	p, err := s.Hikes.SignUpByID(r.Context(), link.SignUp)
	if err != nil {
		return p, hike.Hike{}, err
	}
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	return p, h, err
}

// ShowContact asks an emergency contact whether they can be reached.
func (s *Handlers) ShowContact(w http.ResponseWriter, r *http.Request) error {
	p, h, err := s.contactOf(r)
	if err != nil {
		return err
	}
	page := view.ContactPage{Page: s.Page(r, "Can we reach you?", ""), Walker: p.Name, Hike: h.Title,
		Date: format.Day(h.Start, h.Start.Location()), Done: !p.ContactConfirmed.IsZero(), URL: r.URL.Path}
	page.Private = true
	return s.Render(w, r, http.StatusOK, view.Contact(page))
}

// ConfirmContact records that the contact can be reached.
func (s *Handlers) ConfirmContact(w http.ResponseWriter, r *http.Request) error {
	p, h, err := s.contactOf(r)
	if err != nil {
		return err
	}
	now := s.Now()
	_, err = s.Hikes.ChangeSignUp(r.Context(), p.ID, now, func(p *signup.SignUp) error {
		p.ContactConfirmed = now
		return nil
	}, s.notify.ChangedMails(h, notify.NoLetter))
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, r.URL.Path, "Thank you. Keep your phone with you that day.")
}
