package main

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// goesTomorrow makes the hike one of tomorrow that goes, with a plan and somebody on it.
func (d decided) goesTomorrow() {
	d.t.Helper()
	ctx, now := context.Background(), time.Now()
	d.changeHike(d.t, func(h *hike.Hike) {
		h.Start, h.Meet = now.Add(20*time.Hour), now.Add(19*time.Hour)
		h.Forecast = &plan.Forecast{Low: 12, High: 27, DewPoint: 4, Wind: unit.Speed(2), Cloud: 0.1}
		h.Decision = hike.Decision{Go: true, Outcome: hike.Goes, By: "Ash Moreno", At: now}
	})
	h, err := d.db.Hike(ctx, 1)
	if err != nil {
		d.t.Fatal(err)
	}
	trail, err := d.db.Trail(ctx, h.Trail)
	if err != nil {
		d.t.Fatal(err)
	}
	made, err := hike.PlanFor(h, trail, "Ash Moreno", now)
	if err == nil {
		err = d.db.SavePlan(ctx, made)
	}
	if err != nil {
		d.t.Fatal(err)
	}
}

func (d decided) joins(name, email string) {
	d.t.Helper()
	id := uuid.New()
	if _, err := d.db.SignUp(context.Background(), signup.SignUp{ID: id.String(), Hike: 1, Name: name, Email: email, Asked: time.Now(), Link: id[:]}, time.Now()); err != nil {
		d.t.Fatal(err)
	}
}

// notifier composes mail as the site does.
func (p staffed) notifier(t *testing.T) *notify.Notifier {
	t.Helper()
	n, err := notify.New(notify.Config{
		Store: p.db, Accounts: p.db.AccountStore(), Staff: p.db, Rides: p.db, Outbox: p.db.Outbox(), Choices: p.db,
		Calendar: p.db, BaseURL: p.base, Now: time.Now, Log: slog.New(slog.DiscardHandler),
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// A reminder says where to stop it; opening that place stops nothing, one press without a
// sign-in does, and what is decided about the hike still comes.
func TestReminderIsStoppedByOnePress(t *testing.T) {
	room := openMailroom(t)
	p := serveStaffedWith(t, room.args()...)
	d := decided{p, t, p.signIn(t, "leads@example.org")}
	d.goesTomorrow()
	d.joins("Amaya Reyes", "Amaya@example.org")
	tend := func() {
		if err := p.notifier(t).ProcessWaitlists(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	tend()
	tend()
	msg := room.next(t)
	text, _ := io.ReadAll(msg.Body)
	at := strings.Trim(msg.Header.Get("List-Unsubscribe"), "<>")
	path, own := strings.CutPrefix(at, p.base)
	if !own || !strings.HasPrefix(path, "/mail/") || !strings.Contains(string(text), "Water to bring") {
		t.Fatalf("stopped at %q\n%s", at, text)
	}
	anybody := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for range 2 {
		if page := d.page(anybody, path); !strings.Contains(page, "You get reminders before a hike") || !strings.Contains(page, "amaya@example.org") {
			t.Fatalf("opening it: %s", page)
		}
	}
	status, page := d.send(anybody, path, url.Values{"List-Unsubscribe": {"One-Click"}})
	if status != http.StatusOK || !strings.Contains(page, "You get no more reminders before a hike") {
		t.Fatalf("one press: status %d\n%s", status, page)
	}
	d.joins("Amaya Reyes with her son", "amaya@EXAMPLE.org")
	d.joins("Wren Abara", "wren@example.org")
	tend()
	if to := room.next(t).Header.Get("To"); to != "<wren@example.org>" {
		t.Errorf("a reminder to %s, want the one to Wren alone", to)
	}
	if status, page := d.send(anybody, path, url.Values{"choice": {"again"}}); status != http.StatusOK || !strings.Contains(page, "You get reminders") {
		t.Errorf("again: status %d", status)
	}
	d.send(anybody, path, nil)
	if status, _ := d.send(anybody, "/mail/"+strings.Repeat("a", 32), nil); status != http.StatusNotFound {
		t.Errorf("a token that was made up: status %d", status)
	}
	if status, page := d.send(d.c, "/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}); status != http.StatusSeeOther {
		t.Fatalf("calling off: status %d\n%s", status, page)
	}
	told := map[string]int{}
	for range 3 {
		off := room.next(t)
		if off.Header.Get("List-Unsubscribe") != "" || off.Header.Get("List-Unsubscribe-Post") != "" {
			t.Errorf("%s can be stopped", off.Header.Get("Subject"))
		}
		told[off.Header.Get("To")]++
	}
	if told["<Amaya@example.org>"]+told["<amaya@EXAMPLE.org>"]+told["<amaya@example.org>"] != 2 {
		t.Errorf("called off is told to %v", told)
	}
}

// What waits in the outbox when its reader presses does not go any more; what has no topic
// does.
func TestStopReachesWhatWaits(t *testing.T) {
	p := serveStaffed(t)
	ctx, now := context.Background(), time.Now()
	c, err := p.db.Choice(ctx, "wren@example.org", message.Papers)
	if err != nil {
		t.Fatal(err)
	}
	later := message.Mail{To: "Wren@example.org", Subject: "A certificate ends", Text: "It ends.", Key: "paper/1", NextTry: now.Add(time.Hour)}.Stoppable(message.Papers, "https://hikes.example.org/mail/"+c.Token)
	decision := message.Mail{To: "wren@example.org", Subject: "Called off", Text: "It is off.", Key: "decided/1", NextTry: now.Add(time.Hour)}
	if err := p.db.Outbox().Queue(ctx, now, later, decision); err != nil {
		t.Fatal(err)
	}
	if err := p.db.Stop(ctx, c.Token, now); err != nil {
		t.Fatal(err)
	}
	later.Key = "paper/2"
	if err := p.db.Outbox().Queue(ctx, now, later); err != nil {
		t.Fatal(err)
	}
	mails, err := p.db.Outbox().Recent(ctx, 10)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]message.State{}
	for _, m := range mails {
		got[m.Key] = m.State
	}
	if len(got) != 2 || got["paper/1"] != message.Failed || got["decided/1"] != message.Queued {
		t.Errorf("the outbox holds %v", got)
	}
}
