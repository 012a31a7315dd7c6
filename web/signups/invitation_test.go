package signups_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

// One place from its confirmation to the end, as the person's calendar sees it.
func TestInvitationFollowsThePlace(t *testing.T) {
	t.Parallel()
	room := openMailroom(t)
	clock := sitetest.NewClock(time.Now())
	o := open{sitetest.Start(t, sitetest.Staffed, room.sends(t), byClock(clock)), clock}
	leader, v := o.SignIn(t, sitetest.Leader), o.Visitor(t)
	c := calendar{room: room, place: o.signUp(t, v, signUpForm(1))}
	c.wants(t, invitation{"Your place is confirmed", "REQUEST", "CONFIRMED", "0"})

	edit := editForm(o.Hike(t, 1), func(h *hike.Hike) { h.Meet = h.Meet.Add(-20 * time.Minute).Truncate(time.Minute) })
	for range 2 { // the second changes nothing and is not mailed
		leader.Post("/hikes/1", edit).Want(http.StatusSeeOther)
	}
	e := c.wants(t, invitation{"Changed", "REQUEST", "CONFIRMED", "1"})
	meet := o.Hike(t, 1).Meet
	if at, err := e.DateTimeStart(nil); err != nil || !at.Equal(meet) {
		t.Errorf("begins %v, %v; want %v", at, err, meet)
	}
	for _, step := range []struct {
		path string
		want invitation
	}{
		{"/withdraw", invitation{"You have withdrawn", "CANCEL", "CANCELLED", "2"}},
		{"/ask-again", invitation{"Your place is confirmed", "REQUEST", "CONFIRMED", "3"}},
		{"/withdraw", invitation{"You have withdrawn", "CANCEL", "CANCELLED", "4"}},
		{"/ask-again", invitation{"Your place is confirmed", "REQUEST", "CONFIRMED", "5"}},
	} {
		v.Post(c.place+step.path, nil).Want(http.StatusSeeOther)
		c.wants(t, step.want)
	}
	leader.Post("/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}).Want(http.StatusSeeOther)
	c.wants(t, invitation{"Called off", "CANCEL", "CANCELLED", "6"})
	room.wantNoMore(t)
}

// calendar is that of the person who signed up.
type calendar struct {
	room  mailroom
	place string // the path of their private page
	uid   string // of the entry, after the first mail
}

// wants holds the next mail against what it should bring.
func (c *calendar) wants(t *testing.T, want invitation) ical.Event {
	t.Helper()
	got, e := readInvitation(t, c.room.next(t))
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("mail (-want +got)\n%s", diff)
	}
	value := func(name string) string { return sitetest.Property(e, name) }
	if c.uid == "" {
		c.uid = value("UID")
	}
	if value("UID") != c.uid {
		t.Errorf("UID %s, want %s as before", value("UID"), c.uid)
	}
	if value("ORGANIZER") != "mailto:hikes@example.org" || value("ATTENDEE") != "mailto:walker1@example.org" {
		t.Errorf("organizer %s, attendee %s; want hikes and walker1", value("ORGANIZER"), value("ATTENDEE"))
	}
	if strings.Contains(value("URL")+value("DESCRIPTION"), c.place) {
		t.Error("the entry shows the private link to everybody who sees the calendar")
	}
	return e
}

// editForm is the scheduling form of a hike with a change.
func editForm(h hike.Hike, change func(*hike.Hike)) url.Values {
	change(&h)
	return url.Values{
		"trail":  {"1"},
		"title":  {h.Title},
		"date":   {h.Start.Format(time.DateOnly)},
		"meet":   {h.Meet.Format("15:04")},
		"start":  {h.Start.Format("15:04")},
		"places": {fmt.Sprint(h.Places)},
		"pace":   {string(h.Pace)},
		"leader": {fmt.Sprint(h.Staff[0].Account)},
	}
}
