package public_test

import (
	"context"
	"net/http"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

// entry is what a calendar program goes by.
type entry struct{ Status, Sequence string }

func entryOf(e ical.Event) entry {
	return entry{sitetest.Property(e, "STATUS"), sitetest.Property(e, "SEQUENCE")}
}

// A change of the hike raises the number of its entry by one; reading it again does not.
func TestPublicFeedNumbersChanges(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	read := func() ical.Event { return s.Visitor(t).Get("/hikes.ics").Want(http.StatusOK).Event() }
	want := func(when string, e ical.Event, want entry) {
		t.Helper()
		if diff := cmp.Diff(want, entryOf(e)); diff != "" {
			t.Errorf("%s (-want +got)\n%s", when, diff)
		}
	}
	first := read()
	want("at first", first, entry{"TENTATIVE", "0"})
	meet := s.Hike(t, 1).Meet.Truncate(time.Second)
	if at, err := first.DateTimeStart(nil); err != nil || !at.Equal(meet) {
		t.Errorf("begins %v, %v; want %v", at, err, meet)
	}
	if got := sitetest.Property(first, "GEO"); got != "33.400000;-112.000000" {
		t.Errorf("GEO %s, want the trailhead", got)
	}
	again := read()
	want("read again", again, entry{"TENTATIVE", "0"})
	if got, want := sitetest.Property(again, "DTSTAMP"), sitetest.Property(first, "DTSTAMP"); got != want {
		t.Errorf("read again: stamp %s, want %s", got, want)
	}
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.Meet = h.Meet.Add(-time.Hour) })
	moved := read()
	want("moved", moved, entry{"TENTATIVE", "1"})
	if got, want := sitetest.Property(moved, "UID"), sitetest.Property(first, "UID"); got != want {
		t.Errorf("moved: UID %s, want %s", got, want)
	}
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.State, h.CalledOffBecause = hike.CalledOff, "Too hot." })
	want("called off", read(), entry{"CANCELLED", "2"})
}

func TestLinkOfAnotherPurposeOpensNoFeed(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	secret, hash := sitetest.NewLink(t)
	link := account.Link{Hash: hash, Target: account.InvitationTarget(1), Expires: time.Now().Add(time.Hour)}
	if err := s.DB.AccountStore().AddLink(context.Background(), link); err != nil {
		t.Fatal(err)
	}
	s.Visitor(t).Get("/feed/" + secret.Reveal() + "/hikes.ics").Want(http.StatusNotFound)
}

func TestNoticeHasACalendarEntry(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	s.Visitor(t).Get("/hikes/1/hike.ics").Want(http.StatusOK).Event()
}
