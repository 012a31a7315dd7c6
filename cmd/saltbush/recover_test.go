package main

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// A link for a new password opens an account again whose owner lost the second step.
func TestLetInOpensAnAccount(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	s.SignIn(t, sitetest.Coordinator).SetUpTwoStep()
	letIn := func(email string) (string, error) {
		return command(t, "let-in", email, "--database-url", s.DSN, "--base-url", s.URL)
	}
	if said, err := letIn("nobody@example.org"); err == nil || strings.Contains(said, "new-password") {
		t.Errorf("an unknown address: said %q, %v; want an error and no link", said, err)
	}
	said, err := letIn("Coordinator@example.org")
	if err != nil {
		t.Fatal(err)
	}
	link := regexp.MustCompile(`http\S+/new-password/[a-z2-7]{32}`).FindString(said)
	v := s.Visitor(t)
	page := v.Post(link, url.Values{"password": {"copper kettle on the ledge"}}).Want(http.StatusSeeOther)
	if got := page.Location(); got != "/desk" || !v.IsSignedIn() {
		t.Errorf("the link leads to %q, signed in: %v; want /desk and true", got, v.IsSignedIn())
	}
}
