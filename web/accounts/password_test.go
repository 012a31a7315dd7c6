package accounts_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// personPage returns the path of the page of an account, for coordinators.
func personPage(t testing.TB, s *sitetest.Site, email string) string {
	t.Helper()
	return fmt.Sprintf("/people/%d", s.Account(t, email).ID)
}

func TestLinkForANewPassword(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	coordinator, before := s.SignIn(t, sitetest.Coordinator), s.SignIn(t, sitetest.Leader)
	makeLink := func() string {
		page := coordinator.Post(personPage(t, s, sitetest.Leader)+"/link", nil).Want(http.StatusCreated)
		path := regexp.MustCompile(`/new-password/[a-z2-7]{32}`).FindString(page.Body)
		if path == "" {
			t.Fatal("the page shows no link")
		}
		return path
	}
	send := func(link, password string) (*sitetest.Visitor, sitetest.Page) {
		v := s.Visitor(t)
		return v, v.Post(link, url.Values{"password": {password}})
	}
	old, link := makeLink(), makeLink()
	s.Visitor(t).Get(old).Want(http.StatusNotFound) // only the latest link works
	s.Visitor(t).Get(strings.Replace(link, "new-password", "invited", 1)).Want(http.StatusNotFound)
	s.Visitor(t).Get(link).Want(http.StatusOK)
	_, page := send(link, "Ash Moreno 12") // their own name
	page.Want(http.StatusUnprocessableEntity)
	v, page := send(link, newPassword)
	if got := page.Want(http.StatusSeeOther).Location(); got != "/desk" || !v.IsSignedIn() {
		t.Errorf("leads to %q, signed in: %v; want /desk and true", got, v.IsSignedIn())
	}
	if before.IsSignedIn() {
		t.Error("a browser from before stays signed in")
	}
	_, page = send(link, newPassword+" two")
	page.Want(http.StatusGone)
	s.AwaitMail(t, "account/", "Your password was changed")
}

func TestLostPassword(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	ask := func(email string) string {
		return s.Visitor(t).Post("/lost-password", url.Values{"email": {email}}).Want(http.StatusOK).Body
	}
	if unknown, known := ask("nobody@example.org"), ask("Leads@example.org"); unknown != known {
		t.Errorf("the page tells a known address from an unknown one:\n%s\n%s", known, unknown)
	}
	link := sitetest.LinkIn(t, s.AwaitMail(t, "new-password/", "Somebody asked"), "new-password")
	s.Visitor(t).Get(link).Want(http.StatusOK)
	if got := len(s.Mails(t)); got != 1 {
		t.Errorf("%d mails, want 1", got)
	}
}

// A new password does not bypass the second step. A coordinator can remove it.
func TestNewPasswordKeepsTheSecondStep(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	s.SignIn(t, sitetest.Leader).SetUpTwoStep()
	v := s.Visitor(t)
	v.Post("/lost-password", url.Values{"email": {sitetest.Leader}})
	link := sitetest.LinkIn(t, s.AwaitMail(t, "new-password/", "Somebody asked"), "new-password")
	page := v.Post(link, url.Values{"password": {newPassword}}).Want(http.StatusSeeOther)
	if got := page.Location(); got != "/sign-in/code" || v.IsSignedIn() {
		t.Fatalf("leads to %q, signed in: %v; want /sign-in/code and false", got, v.IsSignedIn())
	}
	coordinator, off := s.SignIn(t, sitetest.Coordinator), personPage(t, s, sitetest.Leader)+"/second-step-off"
	coordinator.Post(off, url.Values{"current": {"no"}}).Want(http.StatusUnprocessableEntity)
	coordinator.Post(off, url.Values{"current": {sitetest.Password}}).Want(http.StatusSeeOther)
	s.AwaitMail(t, "account/", "taken off your account by Juniper Vale")
	page = v.Post("/sign-in", url.Values{"email": {sitetest.Leader}, "password": {newPassword}})
	if got := page.Want(http.StatusSeeOther).Location(); got != "/desk" {
		t.Errorf("the password alone leads to %q, want /desk", got)
	}
}
