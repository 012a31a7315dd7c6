package hikes_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

const rollPath = "/hikes/1/roll"

func TestDayLinkOfASweep(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	leader, sweep := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	link := leader.MakeDayLink("Sam Ortolan", "sweep")
	if got := sweep.Get(link).Location(); got != rollPath {
		t.Fatalf("the link leads to %q, want %s", got, rollPath)
	}
	sweep.Get(rollPath).Want(http.StatusOK)
	here := url.Values{"event": {uuid.NewString()}, "kind": {"here"}}
	here.Set("person", string(s.Roll(t, 1).State().People[0].ID))
	sweep.Post(rollPath, here)
	if events := s.Roll(t, 1).Events; len(events) != 1 || events[0].By != "day link Sam Ortolan" {
		t.Errorf("the roll has %+v, want one record by day link Sam Ortolan", events)
	}
	for _, path := range []string{"/hikes/1/manage", "/hikes/1/watch", "/board", "/desk", "/people"} {
		sweep.Get(path).Want(http.StatusSeeOther) // to sign in
	}
	leader.Get("/hikes/1/manage").Want(http.StatusOK).Shows("Sam Ortolan").Hides(link)
	leader.Post("/hikes/1/day-links/1/withdraw", nil)
	sweep.Get(rollPath).Want(http.StatusGone)
	s.Visitor(t).Get(link).Want(http.StatusGone)
}

func TestNewDayLinkIsShownAsACode(t *testing.T) {
	t.Parallel()
	leader := sitetest.Pages(t, sitetest.Crewed, time.Now).SignIn(t, sitetest.Leader)
	form := url.Values{"link_name": {"Sam Ortolan"}, "link_part": {"sweep"}}
	page := leader.Post("/hikes/1/day-links", form).Want(http.StatusCreated)
	if got := page.Find(".QR").Length(); got != 1 {
		t.Errorf("the page shows %d codes, want 1", got)
	}
}

func TestDayLinkOfOnCall(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	onCall := s.Visitor(t)
	link := s.SignIn(t, sitetest.Leader).MakeDayLink("Oren Vale", "on-call")
	if got := onCall.Get(link).Location(); got != "/hikes/1/watch" {
		t.Fatalf("the link leads to %q, want the watch", got)
	}
	onCall.Get("/hikes/1/watch").Want(http.StatusOK)
	onCall.Get("/hikes/1/hand-over").Want(http.StatusOK)
	onCall.Get(rollPath).Want(http.StatusSeeOther)
	onCall.Post("/hikes/1/watch/note", url.Values{"note": {"Rang the leader, no answer."}})
	onCall.Get("/hikes/1/watch").Want(http.StatusOK).Shows("day link Oren Vale")
}

func TestDayLinkEndsAfterTheHike(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	leader, sweep := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	sweep.Get(leader.MakeDayLink("Sam Ortolan", "sweep")).Want(http.StatusSeeOther)
	for _, tt := range []struct {
		name string
		ends time.Time
		want int
	}{
		{"before its end it opens", time.Now().Add(account.DayLinkAfterClose), http.StatusOK},
		{"after its end it is gone", time.Now().Add(-time.Second), http.StatusGone},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if err := s.DB.AccountStore().EndDayLinks(context.Background(), 1, tt.ends); err != nil {
				t.Fatal(err)
			}
			sweep.In(t).Get(rollPath).Want(tt.want)
		})
	}
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		if err := h.CallOff("Too hot by nine."); err != nil {
			t.Fatal(err)
		}
	})
	form := url.Values{"link_name": {"Late"}, "link_part": {"sweep"}}
	leader.Post("/hikes/1/day-links", form).Want(http.StatusConflict)
}
