package sitetest_test

import (
	"context"
	"net/http"
	"net/url"
	"os"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }

func TestStaffed(t *testing.T) {
	t.Parallel()
	s := sitetest.Start(t, sitetest.Staffed)
	accounts := []string{
		sitetest.Coordinator, sitetest.Leader, sitetest.OtherLeader, sitetest.Trainer, sitetest.OnCall, sitetest.Safety,
	}
	for i, email := range accounts {
		a, err := s.DB.AccountStore().AccountByEmail(context.Background(), email)
		if err != nil || int(a.ID) != i+1 {
			t.Errorf("%s is account %d, %v; want %d", email, a.ID, err, i+1)
		}
		s.SignIn(t, email).Get("/account").Want(http.StatusOK)
	}
	s.Visitor(t).Get("/hikes/1").Want(http.StatusOK).Shows("Dry Fork at dawn").Hides("Manage")
	s.SignIn(t, sitetest.Leader).Get("/hikes/1/manage").Want(http.StatusOK)
	if got := s.Visitor(t).Get("/desk").Want(http.StatusSeeOther).Location(); got != "/sign-in?next=%2Fdesk" {
		t.Errorf("the desk leads to %q", got)
	}
}

// What one test stores no other sees, though both copy one database.
func TestEachSiteHasItsOwnDatabase(t *testing.T) {
	t.Parallel()
	a, b := sitetest.Start(t, sitetest.Staffed), sitetest.Start(t, sitetest.Staffed)
	sitetest.ChangeHike(t, a.DB, 1, func(h *hike.Hike) { h.Title = "Dry Fork at dusk" })
	a.Visitor(t).Get("/hikes/1").Shows("Dry Fork at dusk")
	b.Visitor(t).Get("/hikes/1").Shows("Dry Fork at dawn")
}

func TestEmptyAsksForTheFirstCoordinator(t *testing.T) {
	t.Parallel()
	s := sitetest.Start(t, sitetest.Empty)
	link, err := s.FirstCoordinator(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	action, form := s.Visitor(t).Get(link).Want(http.StatusOK).Form("main form")
	for name, value := range map[string]string{
		"organisation": "Dry Country Walkers", "emergency": "112", "zone": "America/Phoenix",
		"name": "Juniper Vale", "email": "juniper@example.org", "password": sitetest.Password,
	} {
		form.Set(name, value)
	}
	s.Visitor(t).Post(action, form).Want(http.StatusSeeOther)
	s.SignIn(t, "juniper@example.org").Get("/desk").Want(http.StatusOK)
}

// A site that runs sends what it queues; one that only serves pages does not.
func TestJobsRunOnlyWithStart(t *testing.T) {
	t.Parallel()
	taken := make(mailbox, 10)
	byMail := func(o *site.Options) { o.Mail = taken }
	ask := url.Values{"email": {sitetest.Leader}}
	pages := sitetest.Pages(t, sitetest.Staffed, time.Now, byMail)
	pages.Visitor(t).Post("/lost-password", ask)
	pages.AwaitMail(t, "", "/new-password/")
	select {
	case m := <-taken:
		t.Errorf("mail %s was sent without a job", m.Key)
	case <-time.After(300 * time.Millisecond):
	}
	running := sitetest.Start(t, sitetest.Staffed, byMail)
	running.Visitor(t).Post("/lost-password", ask)
	select {
	case <-taken:
	case <-time.After(sitetest.Patience):
		t.Error("no mail was sent")
	}
}

// mailbox takes mail as a mail server does.
type mailbox chan message.Mail

func (b mailbox) Send(_ context.Context, m message.Mail) error {
	b <- m
	return nil
}

// A watcher goes by the clock of its test.
func TestLookoutWatchesByItsClock(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	clock := sitetest.NewClock(time.Now())
	h := l.Post(1, clock.Now())
	l.Depart(h, h.Start)
	alarms := func() int {
		return len(l.Pairs(`SELECT key, recipient FROM outbox WHERE key LIKE 'watch/1/watch/%' AND channel = 'alarm'`))
	}
	clock.Pass(sitetest.Latest - time.Minute)
	if l.Watch(clock.Now); alarms() != 0 {
		t.Error("an alarm before the watch time")
	}
	clock.Pass(2 * time.Minute)
	if l.Watch(clock.Now); alarms() != 1 {
		t.Errorf("%d alarms after the watch time, want 1", alarms())
	}
	l.Back(h, clock.Now())
	board := l.Pages(clock.Now).SignIn(t, sitetest.Coordinator).Get("/board").Want(http.StatusOK)
	if board.Find("main").Length() != 1 {
		t.Errorf("no board:\n%s", board.Body)
	}
}
