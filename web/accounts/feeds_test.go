package accounts_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/site/sitetest"
)

func makeFeed(v *sitetest.Visitor, name string) sitetest.Page {
	return v.Post("/account/feeds", url.Values{"feed": {name}})
}

// Ending one feed leaves the other, and nobody can end another person's.
func TestFeedOpensUntilItIsEnded(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	feed := func(name string) string {
		page := makeFeed(v, name).Want(http.StatusCreated)
		return regexp.MustCompile(`/feed/[a-z2-7]+/hikes\.ics`).FindString(page.Body)
	}
	phone, desk := feed("Phone"), feed("Desk")
	event := s.Visitor(t).Get(phone).Want(http.StatusOK).Event()
	if got := sitetest.Property(event, "SUMMARY"); !strings.HasPrefix(got, "leader: ") {
		t.Errorf("summary %q, want one that begins with the role", got)
	}
	v.Get("/account").Shows("Phone", "Desk").Hides("/feed/")
	s.SignIn(t, sitetest.OtherLeader).Post("/account/feeds/1/end", nil).Want(http.StatusNotFound)
	v.Post("/account/feeds/1/end", nil).Want(http.StatusSeeOther)
	s.Visitor(t).Get(phone).Want(http.StatusNotFound)
	s.Visitor(t).Get(desk).Want(http.StatusOK)
	makeFeed(v, "").Want(http.StatusUnprocessableEntity).Shows("Say in a few words")
	for range account.MaxFeeds - 1 {
		feed("More")
	}
	makeFeed(v, "One more").Want(http.StatusUnprocessableEntity).Shows("no room for more")
}
