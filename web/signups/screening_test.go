package signups_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"

	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

// Somebody asks, is talked to, is turned away, answers back, and has a place after all.
func TestTalkBeforeAPlace(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v, leader := o.Visitor(t), o.SignIn(t, sitetest.Leader)
	form := signUpForm(1)
	form.Set("heat_ill", "yes")
	place := o.signUp(t, v, form)
	s := o.only(t, signup.Asked)
	if s.HeldUntil.IsZero() || s.RiskVersion == "" || s.RiskAccepted.IsZero() {
		t.Errorf("held until %v, risks %q accepted at %v; want all three", s.HeldUntil, s.RiskVersion, s.RiskAccepted)
	}
	talk, declined := "/hikes/1/screening/"+s.ID, url.Values{"outcome": {"declined"}}
	leader.Post(talk, declined).Want(http.StatusUnprocessableEntity)
	declined.Set("reason", "This walk asks for more.")
	declined.Set("criterion", signup.Criteria()[0])
	leader.Post(talk, declined).Want(http.StatusSeeOther)
	o.only(t, signup.TurnedAway)

	const answer = "I walked the ridge last week."
	v.Post(place+"/answer", url.Values{"answer": {answer}}).Want(http.StatusSeeOther)
	if got := o.only(t, signup.TurnedAway).Screening.Answer; got != answer {
		t.Errorf("answer %q, want %q", got, answer)
	}
	leader.Post(talk, url.Values{"outcome": {"fits"}}).Want(http.StatusSeeOther)
	o.only(t, signup.Confirmed)
}

func TestEmergencyContactIsReplacedAndReached(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v, leader := o.Visitor(t), o.SignIn(t, sitetest.Leader)
	place := o.signUp(t, v, signUpForm(1))
	contact := url.Values{"contact": {"Teo"}, "contact_tel": {"480 555 01"}}
	v.Post(place+"/contact", contact).Want(http.StatusUnprocessableEntity)
	contact.Set("contact_tel", "480 555 0123")
	v.Post(place+"/contact", contact).Want(http.StatusSeeOther)
	s := o.only(t, signup.Confirmed)
	leader.Post("/hikes/1/screening/"+s.ID+"/reached", nil).Want(http.StatusSeeOther)
	s = o.only(t, signup.Confirmed)
	if s.EmergencyPhone != "+1 480-555-0123" || s.ContactConfirmed.IsZero() {
		t.Errorf("contact %q confirmed at %v, want +1 480-555-0123 and a time", s.EmergencyPhone, s.ContactConfirmed)
	}
}

// An emergency contact with a mail address is asked three days before, once, and says yes by
// the link in the mail.
func TestEmergencyContactIsAskedByMail(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	form := signUpForm(1)
	form.Set("contact_email", "home@example.org")
	o.signUp(t, v, form)
	for range 2 {
		if err := o.ProcessWaitlists(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	var asked []message.Mail
	for _, m := range o.Mails(t) {
		if m.To == "home@example.org" {
			asked = append(asked, m)
		}
	}
	if len(asked) != 1 {
		t.Fatalf("%d mails to the contact, want 1", len(asked))
	}
	v.Post(sitetest.LinkIn(t, asked[0], "contact"), nil)
	if s := o.only(t, signup.Confirmed); s.ContactConfirmed.IsZero() {
		t.Error("the contact's yes is not on file")
	}
}
