package signups_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

// A form with a fault keeps what was typed and stores nothing; a blank one removes the card.
func TestOwnCardForm(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	v := c.Site.Visitor(t)
	fault := url.Values{"action": {"changed-line"}, "born": {"April 1961"}}
	v.Post(c.Place+"/card", fault).Want(http.StatusUnprocessableEntity).Shows("changed-line", "such as 1961-04-30")
	v.Get(c.Place + "/card").Want(http.StatusOK).Shows(sitetest.CardSealed).Hides("changed-line")
	v.Post(c.Place+"/card", url.Values{"action": {" "}}).Want(http.StatusSeeOther)
	v.Get(c.Place).Want(http.StatusOK).Shows("You have none, and need none")
	v.Get(sitetest.Mistype(c.Place) + "/card").Want(http.StatusNotFound)
}

// What a person asks for at sign-up becomes their action line. Without the key that seals
// medical words it is refused at its field, and nothing of the form is stored or lost.
func TestNeedsAtSignUpAreSealed(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	const needs = "Speak to me from the left."
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	form := signUpForm(1)
	form.Set("seal", o.seal(t, v))
	form.Set("needs", needs)
	o.DB.UseCardKey(card.Keyring{})
	refused := v.Post(signUpPath, form).Want(http.StatusUnprocessableEntity)
	refused.Shows("The key that seals medical words is missing here", needs)
	if got := len(o.SignUps(t, 1)); got != 0 {
		t.Fatalf("%d stored, want none", got)
	}
	if err := o.DB.TakeCardKey(ctx, sitetest.CardKey(), false, time.Now()); err != nil {
		t.Fatal(err)
	}
	v.Post(signUpPath, form).Want(http.StatusSeeOther)
	s := o.only(t, signup.Confirmed)
	if !s.Carded || s.Needs != "" {
		t.Errorf("carded %v, needs %q beside the card; want true and none", s.Carded, s.Needs)
	}
	lines, err := o.DB.ActionLines(ctx, 1)
	if got := lines[s.ID].Text; err != nil || got != needs {
		t.Errorf("action line %q, %v; want %q", got, err, needs)
	}
}
