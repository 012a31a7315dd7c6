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

	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// dayLink makes a link for the day as the hike's leader, and returns its path.
func dayLink(t testing.TB, p staffed, leader *http.Client, name, part string) string {
	t.Helper()
	res, err := leader.PostForm(p.base+"/hikes/1/day-links", url.Values{"link_name": {name}, "link_part": {part}})
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, _ := io.ReadAll(res.Body)
	found := regexp.MustCompile(`/day/[a-z2-7]{32}`).FindString(string(body))
	if res.StatusCode != http.StatusCreated || found == "" {
		t.Fatalf("make a link for %s: status %d, link %q", name, res.StatusCode, found)
	}
	if !strings.Contains(string(body), `class="QR"`) {
		t.Error("the page of a new link shows no code")
	}
	return found
}

// answers gets a page: its status, where it leads, and what it says.
func answers(t testing.TB, c *http.Client, address string) (status int, to, says string) {
	t.Helper()
	res, err := c.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, _ := io.ReadAll(res.Body)
	return res.StatusCode, res.Header.Get("Location"), string(body)
}

func mustAnswer(t testing.TB, c *http.Client, address string, want int) string {
	t.Helper()
	status, to, says := answers(t, c, address)
	if status != want {
		t.Errorf("%s: status %d to %q, want %d", address, status, to, want)
	}
	return says
}

func TestDayLinkOfASweep(t *testing.T) {
	p := serveForTwo(t)
	leader, sweep := p.signIn(t, "leads@example.org"), client(t)
	path := dayLink(t, p, leader, "Sam Ortolan", "sweep")
	if _, to, _ := answers(t, sweep, p.base+path); to != rollOne {
		t.Fatalf("the link leads to %q, want the roll", to)
	}
	mustAnswer(t, sweep, p.base+rollOne, http.StatusOK)
	person := p.roll(t).State().People[0]
	res, err := sweep.PostForm(p.base+rollOne, url.Values{"event": {uuid.NewString()}, "kind": {"here"}, "person": {string(person.ID)}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if events := p.roll(t).Events; len(events) != 1 || events[0].By != "day link Sam Ortolan" {
		t.Errorf("on the roll: %+v, want one record by the link", events)
	}
	for _, closed := range []string{"/hikes/1/manage", "/hikes/1/watch", "/board", "/desk", "/people"} {
		mustAnswer(t, sweep, p.base+closed, http.StatusSeeOther) // to sign in
	}
	if says := mustAnswer(t, leader, p.base+"/hikes/1/manage", http.StatusOK); !strings.Contains(says, "Sam Ortolan") || strings.Contains(says, path) {
		t.Error("the leader's list does not name the link, or shows its secret")
	}
	if res, err = leader.PostForm(p.base+"/hikes/1/day-links/1/withdraw", nil); err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	mustAnswer(t, sweep, p.base+rollOne, http.StatusGone)
	mustAnswer(t, client(t), p.base+path, http.StatusGone)
}

func TestDayLinkOfOnCall(t *testing.T) {
	p := serveForTwo(t)
	onCall := client(t)
	path := dayLink(t, p, p.signIn(t, "leads@example.org"), "Oren Vale", "on-call")
	if _, to, _ := answers(t, onCall, p.base+path); to != "/hikes/1/watch" {
		t.Fatalf("the link leads to %q, want the watch", to)
	}
	mustAnswer(t, onCall, p.base+"/hikes/1/watch", http.StatusOK)
	mustAnswer(t, onCall, p.base+"/hikes/1/hand-over", http.StatusOK)
	mustAnswer(t, onCall, p.base+rollOne, http.StatusSeeOther)
	res, err := onCall.PostForm(p.base+"/hikes/1/watch/note", url.Values{"note": {"Rang the leader, no answer."}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if says := mustAnswer(t, onCall, p.base+"/hikes/1/watch", http.StatusOK); !strings.Contains(says, "day link Oren Vale") {
		t.Error("the log does not say who wrote")
	}
}

func TestDayLinkEndsAfterTheHike(t *testing.T) {
	p := serveForTwo(t)
	ctx, sweep := context.Background(), client(t)
	path := dayLink(t, p, p.signIn(t, "leads@example.org"), "Sam Ortolan", "sweep")
	mustAnswer(t, sweep, p.base+path, http.StatusSeeOther)
	for _, tt := range []struct {
		name string
		at   time.Time
		want int
	}{{"open while two days are not over", time.Now().Add(account.DayLinkAfterClose), http.StatusOK}, {"closed after them", time.Now().Add(-time.Second), http.StatusGone}} {
		if err := p.db.AccountStore().EndDayLinks(ctx, 1, tt.at); err != nil {
			t.Fatal(err)
		}
		t.Run(tt.name, func(t *testing.T) { mustAnswer(t, sweep, p.base+rollOne, tt.want) })
	}
	err := p.db.ChangeHike(ctx, 1, func(h *hike.Hike) error { return h.CallOff("Too hot by nine.") })
	if err != nil {
		t.Fatal(err)
	}
	res, err := p.signIn(t, "leads@example.org").PostForm(p.base+"/hikes/1/day-links", url.Values{"link_name": {"Late"}, "link_part": {"sweep"}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusConflict {
		t.Errorf("a link to a hike that is called off: status %d, want 409", res.StatusCode)
	}
}

// A sweep without an account scans the code, loses the signal, and goes on.
func TestDayLinkWithoutSignal(t *testing.T) {
	p := serveForTwo(t)
	s := newAirwave(t, p.base)
	path := dayLink(t, p, p.signIn(t, "leads@example.org"), "Sam Ortolan", "sweep")
	v := browser(t, s.base(), screens()[0])
	v.do(chromedp.Navigate(v.base + path))
	v.sees("You record as day link Sam Ortolan")
	v.sees("works without signal")
	v.look()
	s.cut()
	v.marks("here", 2)
	v.do(chromedp.Reload())
	v.sees("2 records wait on this phone")
	s.restore()
	v.sent()
	for _, e := range p.roll(t).Events {
		if e.By != "day link Sam Ortolan" {
			t.Errorf("%s by %q, want by the link", e.Kind, e.By)
		}
	}
}

func TestDayLinkPages(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveForTwo(t)
			v := browser(t, p.base, size)
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "leads@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/hikes/1/manage")
			v.do(chromedp.Click(chromedp.CSS("#day-links ~ details summary")))
			v.fill("form[action$=day-links]", map[string]string{"link_name": "", "link_part": "on-call"})
			v.press("form[action$=day-links] button")
			v.sees("Write who gets the link")
			v.fill("form[action$=day-links]", map[string]string{"link_name": "Sam Ortolan", "link_part": "sweep"})
			v.press("form[action$=day-links] button")
			v.sees("Shown this once")
			v.open("/hikes/1/manage")
			v.sees("Sam Ortolan")
		})
	}
}
