package main

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
)

// fetch gets a page or a file and its status.
func (p program) fetch(t testing.TB, c *http.Client, path string) (int, string) {
	t.Helper()
	res, err := c.Get(p.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(body)
}

func eventsIn(t testing.TB, file string) []ical.Event {
	t.Helper()
	cal, err := ical.NewDecoder(strings.NewReader(file)).Decode()
	if err != nil {
		t.Fatalf("%v\n%s", err, file)
	}
	return cal.Events()
}

func valueOf(e ical.Event, name string) string {
	if p := e.Props.Get(name); p != nil {
		return p.Value
	}
	return ""
}

// A change of the hike raises the number of its entry by one; reading it again does not.
func TestPublicFeedNumbersChanges(t *testing.T) {
	p := serveStaffed(t)
	read := func() ical.Event {
		status, file := p.fetch(t, client(t), "/hikes.ics")
		events := eventsIn(t, file)
		if status != http.StatusOK || len(events) != 1 {
			t.Fatalf("status %d, %d events", status, len(events))
		}
		return events[0]
	}
	first := read()
	h, err := p.db.Hike(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if at, err := first.DateTimeStart(nil); err != nil || !at.Equal(h.Meet.Truncate(time.Second)) {
		t.Errorf("begins %v, %v, want %v", at, err, h.Meet)
	}
	if valueOf(first, "GEO") != "33.400000;-112.000000" || valueOf(first, "STATUS") != "TENTATIVE" || valueOf(first, "SEQUENCE") != "0" {
		t.Errorf("GEO %s, STATUS %s, SEQUENCE %s", valueOf(first, "GEO"), valueOf(first, "STATUS"), valueOf(first, "SEQUENCE"))
	}
	if again := read(); valueOf(again, "SEQUENCE") != "0" || valueOf(again, "DTSTAMP") != valueOf(first, "DTSTAMP") {
		t.Errorf("read again: %v", again.Props)
	}
	p.changeHike(t, func(h *hike.Hike) { h.Meet = h.Meet.Add(-time.Hour) })
	if moved := read(); valueOf(moved, "SEQUENCE") != "1" || valueOf(moved, "UID") != valueOf(first, "UID") {
		t.Errorf("moved: SEQUENCE %s, UID %s", valueOf(moved, "SEQUENCE"), valueOf(moved, "UID"))
	}
	p.changeHike(t, func(h *hike.Hike) { h.State, h.CalledOffBecause = hike.CalledOff, "Too hot." })
	if off := read(); valueOf(off, "SEQUENCE") != "2" || valueOf(off, "STATUS") != "CANCELLED" {
		t.Errorf("called off: SEQUENCE %s, STATUS %s", valueOf(off, "SEQUENCE"), valueOf(off, "STATUS"))
	}
}

func (p staffed) changeHike(t testing.TB, change func(*hike.Hike)) {
	t.Helper()
	err := p.db.ChangeHike(context.Background(), 1, func(h *hike.Hike) error { change(h); return nil })
	if err != nil {
		t.Fatal(err)
	}
}

// Each address stands for itself: ending one leaves the other, and nobody ends another's.
func TestOwnFeedOpensUntilItIsEnded(t *testing.T) {
	p := serveStaffed(t)
	d := decided{p, t, p.signIn(t, "leads@example.org")}
	make := func(name string) string {
		status, page := d.send(d.c, "/account/feeds", url.Values{"feed": {name}})
		path := regexp.MustCompile(`/feed/[a-z2-7]+/hikes\.ics`).FindString(page)
		if status != http.StatusCreated || path == "" {
			t.Fatalf("status %d, no address", status)
		}
		return path
	}
	phone, desk := make("Phone"), make("Desk")
	status, file := p.fetch(t, client(t), phone)
	if events := eventsIn(t, file); status != http.StatusOK || len(events) != 1 || !strings.HasPrefix(valueOf(events[0], "SUMMARY"), "leader: ") {
		t.Errorf("status %d\n%s", status, file)
	}
	if page := d.page(d.c, "/account"); !strings.Contains(page, "Phone") || !strings.Contains(page, "Desk") || strings.Contains(page, "/feed/") {
		t.Error("the account's page does not list both, or shows an address again")
	}
	if status, _ := d.send(p.signIn(t, "other@example.org"), "/account/feeds/1/end", nil); status != http.StatusNotFound {
		t.Errorf("another's address ended: status %d", status)
	}
	if status, _ := d.send(d.c, "/account/feeds/1/end", nil); status != http.StatusSeeOther {
		t.Errorf("ending: status %d", status)
	}
	for path, want := range map[string]int{phone: http.StatusNotFound, desk: http.StatusOK} {
		if status, _ := p.fetch(t, client(t), path); status != want {
			t.Errorf("after the phone's address was ended: %s is %d, want %d", path, status, want)
		}
	}
	if status, page := d.send(d.c, "/account/feeds", url.Values{"feed": {""}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Say in a few words") {
		t.Errorf("without a name: status %d", status)
	}
	for range account.MaxFeeds - 1 {
		make("More")
	}
	if status, page := d.send(d.c, "/account/feeds", url.Values{"feed": {"One more"}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "no room for more") {
		t.Errorf("one too many: status %d", status)
	}
}

func TestAnotherLinkIsNoFeed(t *testing.T) {
	p := serveStaffed(t)
	secret, hash, err := account.NewLink(strings.NewReader(strings.Repeat("quiet", 8)))
	if err != nil {
		t.Fatal(err)
	}
	link := account.Link{Hash: hash, Target: account.InvitationTarget(1), Expires: time.Now().Add(time.Hour)}
	if err := p.db.AccountStore().AddLink(context.Background(), link); err != nil {
		t.Fatal(err)
	}
	if status, _ := p.fetch(t, client(t), "/feed/"+secret.Reveal()+"/hikes.ics"); status != http.StatusNotFound {
		t.Errorf("status %d", status)
	}
	if status, file := p.fetch(t, client(t), "/hikes/1/hike.ics"); status != http.StatusOK || len(eventsIn(t, file)) != 1 {
		t.Errorf("the entry of a notice: status %d\n%s", status, file)
	}
}

// Two at once that tell the same get one number; those that tell different things do not.
func TestNumbersAtOnce(t *testing.T) {
	p := serveStaffed(t)
	ctx, now := context.Background(), time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)
	number := func(summary string) int {
		list, err := p.db.Number(ctx, now, calendar.Event{UID: "place-1@hikes.example", Start: now, Summary: summary})
		if err != nil {
			t.Error(err)
			return -1
		}
		return list[0].Sequence
	}
	number("first")
	got := make(chan int, 8)
	for range 8 {
		go func() { got <- number("second") }()
	}
	for range 8 {
		if n := <-got; n != 1 {
			t.Errorf("number %d, want 1", n)
		}
	}
	if n := number("first"); n != 2 {
		t.Errorf("back to the first: number %d, want 2", n)
	}
}
