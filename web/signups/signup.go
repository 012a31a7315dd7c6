package signups

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ShowSignUp shows the form for a place.
func (s *Handlers) ShowSignUp(w http.ResponseWriter, r *http.Request) error {
	return s.renderSignUp(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderSignUp(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	if !t.Hike.TakesSignUps(s.Now()) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	return s.Render(w, r, status, view.Signup(s.signUpPage(r, t, a)))
}

func (s *Handlers) signUpPage(r *http.Request, t hike.Data, a ui.FormState) view.SignupPage {
	h, u := t.Hike, s.UnitsOf(r)
	version, _ := signup.RisksVersion()
	p := view.SignupPage{
		Page: s.Page(r, "Ask for a place", "Hikes"), Hike: h.Title + ", " + format.Day(h.Start, t.Zone()),
		Action: paths.Hike(h.ID) + "/sign-up", Submit: "Ask for a place", Facts: signUpFacts(t, u),
		Risks:   signup.Risks(),
		Version: "Version " + version + ". We keep which version you agreed to, and when.",
	}
	if free := h.Places - t.Taken(t.Now); free <= 0 || t.Count(signup.Waiting) > 0 {
		p.Full = kit.PlacesNote(t) + " You would be put on the waiting list, in the order of asking."
	}
	p.Fields = s.signUpForm(t, u).Fields(a)
	p.Seal = s.formToken(r, h.ID, lastOf(a.Values["seal"]))
	return p
}

// signUpForm is the form for a place on one hike.
func (s *Handlers) signUpForm(t hike.Data, u format.System) kit.Questions[Answers] {
	x := FormFor{Rules: t.Hike.Rules(), Units: u, Now: s.Now()}
	if t.Plan != nil {
		x.Carry = t.Plan.Water.Carry
	}
	return SignUpForm(x)
}

func signUpFacts(t hike.Data, u format.System) []format.Line {
	line := kit.TrailLine(t.Trail, u)
	facts := []format.Line{
		{Label: "Meet", Value: format.Clock(t.Hike.Meet, t.Zone()), Note: t.Trail.Meeting},
		{Label: "Walk", Value: line.Length, Note: ascentNote(line)},
	}
	if t.Plan != nil {
		facts = append(facts,
			format.Line{Label: "On the trail",
				Value: format.DurationRange(t.Plan.Time.P50.Duration(), t.Plan.Time.P90.Duration())},
			format.Line{Label: "Water each", Value: format.Volume(t.Plan.Water.Carry, u)})
		if t.Plan.Verdict.Decision != plan.Go {
			facts = append(facts, format.Line{Label: "The plan says", Value: string(t.Plan.Verdict.Decision),
				Note: kit.DecisionWords(t.Hike)})
		}
	}
	return facts
}

func ascentNote(l ui.TrailLine) string {
	if l.Class == "" {
		return "ascent not known"
	}
	return l.Ascent + " of ascent; " + l.Class + ", its number is " + l.Number
}

// SignUp stores a request for a place. It answers with the person's private page, so that nobody
// depends on a mail.
func (s *Handlers) SignUp(w http.ResponseWriter, r *http.Request) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	if !t.Hike.TakesSignUps(s.Now()) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	f := kit.NewForm(r)
	p, share := s.readSignUp(f, t)
	invalid, err := f.Invalid(checkSignUp(&p, share, t))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err := s.checkFormToken(r, t.Hike.ID); err != nil {
		return s.renderSignUpAgain(w, r, t, err)
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	p.Link = hash[:]
	p.Screening.Talk = signup.TalkFirst(p, t.Trail, t.Plan, t.Hike.Rules())
	version, text := signup.RisksVersion()
	if err := s.Hikes.KeepRisks(r.Context(), version, text, s.Now()); err != nil {
		return err
	}
	p.RiskVersion, p.RiskAccepted = version, s.Now()
	p,
		err = s.Hikes.SignUp(r.Context(), p, s.Now(),
		func(ctx context.Context, made []signup.SignUp) ([]message.Mail, error) {
			return s.notify.PlaceMails(ctx, t, s.notify.AskedLetter(t.Hike, made[0], secret))
		})
	if errors.Is(err, card.ErrNoKey) {
		err = fault.Invalid{"needs": card.ErrNoKey.Error()}
	}
	var taken fault.Invalid // another request came between the check and the lock
	if errors.As(err, &taken) {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, taken))
	}
	if err != nil {
		return err
	}
	s.storeSharing(r.Context(), p, share)
	s.notify.NotifyRides(r.Context(), t.Hike.ID)
	return s.SeeOther(w, r, paths.Place(secret),
		"Keep the address of this page: it opens your place. It was sent to you by mail too.")
}

// checkSignUp checks the form, then applies the rules of the hike.
func checkSignUp(p *signup.SignUp, share ride.Sharing, t hike.Data) error {
	err := p.Check(signup.RegionOf(t.Trail.Zone))
	v, invalid := err.(fault.Invalid)
	if err != nil && !invalid {
		return err
	}
	if !invalid {
		v = fault.Invalid{}
	}
	for _, err := range []error{hike.AssignAdult(p, t.Hike, t.SignUps), ride.CheckRide(p.Car, share)} {
		wrong, _ := err.(fault.Invalid)
		for field, message := range wrong {
			v.Add(field, message)
		}
	}
	return v.Err()
}

// readSignUp reads a new request for a place, and whether the person shares rides.
func (s *Handlers) readSignUp(f kit.Form, t hike.Data) (signup.SignUp, ride.Sharing) {
	a := Answers{SignUp: signup.SignUp{ID: uuid.NewString(), Hike: t.Hike.ID, Asked: s.Now()}}
	s.signUpForm(t, format.Metric).Read(f, &a)
	return a.SignUp, a.Ride.sharing(s.Now())
}

// Withdraw gives a place back, and with an adult's place those of the children they answer for. The
// page says so before.
func (s *Handlers) Withdraw(w http.ResponseWriter, r *http.Request) error {
	if err := s.withdrawChildren(r); err != nil {
		return err
	}
	return s.changePlace(w, r, (*signup.SignUp).Withdraw, "Your place is given back. Thank you for telling us.")
}

func (s *Handlers) withdrawChildren(r *http.Request) error {
	p := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	all, err := s.Hikes.SignUps(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	for _, child := range signup.Charges(p, all, h.Staff) {
		_, err := s.Hikes.ChangeSignUp(r.Context(), child.ID, s.Now(), (*signup.SignUp).Withdraw,
			s.notify.ChangedMails(h, notify.ActedLetter(child.State, "")))
		if err != nil {
			return err
		}
		s.notify.NotifyRides(r.Context(), h.ID)
	}
	return nil
}

// AskAgain takes a withdrawal back: the person joins the end of the list, and is confirmed at once
// where a place is free.
func (s *Handlers) AskAgain(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, (*signup.SignUp).AskAgain, "You are back on the list.")
}

func (s *Handlers) changePlace(w http.ResponseWriter, r *http.Request, change func(*signup.SignUp) error,
	said string) error {
	p := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	own := notify.ActedLetter(p.State, s.BaseURL+"/place/"+kit.SecretIn(r))
	if _, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, s.Now(), change, s.notify.ChangedMails(h, own)); err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), h.ID)
	return s.SeeOther(w, r, "/place/"+kit.SecretIn(r), said)
}

func lastOf(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[len(values)-1]
}
