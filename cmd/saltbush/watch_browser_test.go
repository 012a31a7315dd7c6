package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/watch"
)

// overdue is a hike that should have been back: walkers, a count, an alarm and a note.
func overdue(t testing.TB, l *lookout, ago time.Duration) hike.Hike {
	t.Helper()
	ctx := context.Background()
	h := l.post(1, time.Now().Add(-latest-ago).Truncate(time.Minute))
	var here []roll.PersonID
	for _, m := range h.Staff {
		here = append(here, roll.PersonID(m.Person))
	}
	for i, name := range []string{"Amaya Reyes", "Bashir Noor", "Lotte Vandermeer", "Jun Takeda"} {
		id := fmt.Sprintf("5a17b054-0000-4000-8000-00000000000%d", i)
		p := signup.SignUp{ID: id, Hike: h.ID, Name: name, Email: "walker@example.org", Mobile: fmt.Sprintf("602-555-013%d", i),
			EmergencyName: "Somebody Home", EmergencyPhone: fmt.Sprintf("480-555-017%d", i), LongestWalk: "9 km three weeks ago, no trouble", Water: 3.5,
			Minor: i == 3, Guardian: "Hana Takeda", GuardianPhone: "480-555-0188", Acknowledged: true, Asked: h.Start.Add(-48 * time.Hour), Link: []byte(id)}
		if i == 0 {
			p.Needs = "Speak to me from the left; I hear little on the right."
		}
		if _, err := l.db.SignUp(ctx, p, p.Asked); err != nil {
			t.Fatal(err)
		}
		here = append(here, roll.PersonID(id))
	}
	everyone := func(e *roll.Event) { e.Persons, e.Number, e.Place = here, len(here), "trailhead" }
	l.record(h, roll.KindDeparted, h.Start, everyone)
	l.record(h, roll.KindCounted, h.Start.Add(40*time.Minute), func(e *roll.Event) {
		e.Number, e.Sweep, e.Place, e.Along = len(here), len(here), "Notch Junction", 900
	})
	l.record(h, roll.KindBack, h.Start.Add(2*time.Hour), func(e *roll.Event) { e.Persons = here[6:7] })
	return h
}

// alarmLink is the private link in the newest alarm to an address.
func (l *lookout) alarmLink(t testing.TB, to string) string {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		mails, err := l.db.Outbox().Recent(context.Background(), 100)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range mails {
			if m.To == to && m.Channel == message.ByAlarm && strings.Contains(m.Key, "/watch/") {
				return regexp.MustCompile(`/watch/[a-z2-7]+`).FindString(m.Text)
			}
		}
	}
	t.Fatalf("no alarm went to %s", to)
	return ""
}

// On-call opens the link of an alarm on a phone, takes it, notes a call, and reads out the
// hand-over sheet; on a desk the same is looked at. No password is asked for.
func TestAlarmInABrowser(t *testing.T) {
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			l := newLookout(t)
			h := overdue(t, l, 3*time.Minute)
			p := serve(t, "serve", "--database-url", l.dsn)
			link := l.alarmLink(t, "oncall1@example.org")
			v := browser(t, p.base, s)
			v.open(link)
			v.sees("Now: start asking")
			v.sees("Jun Takeda")
			v.press(".Watch-now button")
			v.sees("On-call 01 has it, since")
			v.fill(".Watch-notes .Form", map[string]string{"note": "Rang the leader, no answer; wrote to the sweep"})
			v.press(".Watch-notes .Form button")
			v.sees("Rang the leader, no answer")
			v.open(link + "/hand-over")
			v.sees("Notch Junction")
			v.sees("7 people are not accounted for")
			printed(t, v)
			log, err := l.db.WatchLog(context.Background(), h.ID)
			if err != nil || !has(log, watch.LogAcknowledged) || !has(log, watch.LogNote) {
				t.Errorf("log %v, %v: want an answer and a note", log, err)
			}
		})
	}
}

func has(log []watch.Logged, kind watch.LogKind) bool {
	for _, l := range log {
		if l.Kind == kind && l.By == "On-call 01" {
			return true
		}
	}
	return false
}

// printed prints the page that is open and keeps pictures of it where asked.
func printed(t *testing.T, v *visitor) {
	t.Helper()
	dir := os.Getenv("SALTBUSH_SHOTS")
	if dir == "" {
		return
	}
	r, err := chromedp.Call(v.ctx, page.PrintToPDF, page.PrintToPDFParams{})
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, v.name+"-hand-over.pdf")
	if err := os.WriteFile(file, r.Data, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "60", "-png", file, strings.TrimSuffix(file, ".pdf")).CombinedOutput(); err != nil {
		t.Logf("pictures of the print: %v: %s", err, out)
	}
}

// The board and the watch of an alarm, as a coordinator sees them.
func TestBoardInAlarmInABrowser(t *testing.T) {
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			l := newLookout(t)
			l.letIn(coordinatorMail)
			overdue(t, l, 3*time.Minute)
			p := serve(t, "serve", "--database-url", l.dsn)
			v := browser(t, p.base, s)
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": coordinatorMail, "password": samplePassword})
			v.press("main form button")
			v.open("/board")
			v.press(".Board-next button")
			v.sees("Juniper Vale has it, since")
			v.open("/board")
			v.sees("Juniper Vale has it, since")
			v.open("/hikes/new")
			v.sees("Their mail address")
		})
	}
}
