package watch_test

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// late is a lookout with hike 1, whose watch time was a minute ago, and its pages by a clock.
type late struct {
	*sitetest.Lookout
	site  *sitetest.Site
	clock *sitetest.Clock
	hike  hike.Hike
}

func newLate(t testing.TB) late {
	t.Helper()
	l := late{Lookout: sitetest.NewLookout(t), clock: sitetest.NewClock(time.Now())}
	l.site = l.Pages(l.clock.Now)
	l.hike = l.Post(1, l.clock.Now().Add(-sitetest.Latest-time.Minute))
	l.Depart(l.hike, l.hike.Start)
	return l
}

// The link of an alarm opens the watch of its hike and nothing else, until it expires.
func TestAlarmLinkOpensOneWatch(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	l.Watch(l.clock.Now)
	link, v := l.AlarmLink(t, "oncall1@example.org"), l.site.Visitor(t)
	v.Get(link).Want(http.StatusOK).Shows("I have it")
	v.Get(link).Shows("text waiting to go, opened ", "Opened the watch")
	if acknowledged(t, l) {
		t.Error("opening the link took the alarm; a mail scanner would take it too")
	}
	for _, path := range []string{"/hikes/1/roll", "/hikes/1/watch", "/hikes/1/manage"} {
		v.Get(path).Want(http.StatusSeeOther) // to sign in
	}
	v.Post(link+"/acknowledge", nil).Want(http.StatusSeeOther)
	if !acknowledged(t, l) {
		t.Error("the log does not say that the alarm was taken")
	}
	v.Post(link+"/note", url.Values{"note": {" "}}).Want(http.StatusUnprocessableEntity)
	for _, wrong := range []string{sitetest.Mistype(link), link[:20]} {
		v.Post(wrong+"/acknowledge", nil).Want(http.StatusNotFound)
	}
	l.clock.Pass(49 * time.Hour)
	v.Get(link).Want(http.StatusGone)
}

func acknowledged(t *testing.T, l late) bool {
	t.Helper()
	log, err := l.DB.WatchLog(context.Background(), l.hike.ID)
	if err != nil {
		t.Fatal(err)
	}
	return slices.ContainsFunc(log, func(e watch.Logged) bool {
		return e.Kind == watch.LogAcknowledged && e.By == "On-call 01"
	})
}

// From home, with the link of the alarm alone, on-call writes down who is back as the leader
// reads the names out, and stands the watch down once nobody is out.
func TestOnCallStandsDownFromHome(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	l.Watch(l.clock.Now)
	link, v := l.AlarmLink(t, "oncall1@example.org"), l.site.Visitor(t)
	standDown, back := link+"/stand-down", url.Values{"heard": {"Leader 1, from the lot"}}
	v.Post(link+"/back", back).Want(http.StatusUnprocessableEntity) // without a name
	v.Post(standDown, nil).Want(http.StatusConflict)                // four are out
	for _, m := range l.hike.Staff {
		v.Get(link).Hides(standDown)
		back.Set("person", m.Person)
		v.Post(link+"/back", back).Want(http.StatusSeeOther)
	}
	v.Get(link).Shows(standDown)
	v.Post(standDown, nil).Want(http.StatusSeeOther)
	rec := l.site.Roll(t, l.hike.ID)
	if rec.State().StoodDown.IsZero() {
		t.Error("the watch is not stood down")
	}
	if got := rec.Events[len(rec.Events)-1].By; got != "On-call 01" {
		t.Errorf("stood down by %q, want On-call 01, to whom the link was sent", got)
	}
}

// Somebody who took the alarm is told when it gets graver, and stays named until the graver
// alarm is taken too.
func TestCallForHelpGoesToWhoTookTheAlarm(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	v := l.site.SignIn(t, sitetest.Coordinator)
	v.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
	l.clock.Pass(3 * time.Hour)
	l.Watch(l.clock.Now)
	if !slices.ContainsFunc(l.site.Mails(t), func(m message.Mail) bool {
		return m.To == sitetest.Coordinator && strings.HasPrefix(m.Key, "watch/1/call/")
	}) {
		t.Error("no call for help was mailed to who took the alarm")
	}
	v.Get("/hikes/1/watch").Shows("Juniper Vale took the alarm at", "I have it")
}

// On the board somebody takes an alarm, and the row says who.
func TestAlarmIsTakenOnTheBoard(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	v := l.site.SignIn(t, sitetest.Coordinator)
	v.Get("/board").Want(http.StatusOK).Shows("I have it")
	v.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
	v.Get("/board").Hides("I have it").Shows("Juniper Vale has it, since")
	l.clock.Pass(25 * time.Minute)
	l.Watch(l.clock.Now)
	for step := range l.LoggedSteps(t, l.hike) {
		if strings.HasPrefix(step, "watch-") {
			t.Errorf("%s went out though somebody has the alarm", step)
		}
	}
}

// On-call reads numbers from the departure on, and in an alarm what to do for people; the
// coordinator never the latter; a leader of another hike neither before taking the alarm.
func TestWhoReadsNumbersAndActions(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	l.Account("Oren Vale", "oncall1@example.org", "", account.OnCall)
	l.Account("Ines Calder", sitetest.OtherLeader, "", account.Leader)
	clock := sitetest.NewClock(time.Now())
	s := l.Pages(clock.Now)
	in := map[string]*sitetest.Visitor{}
	for _, email := range []string{"oncall1@example.org", sitetest.OtherLeader, sitetest.Coordinator} {
		in[email] = s.SignIn(t, email)
	}
	l.Overdue(-time.Hour)
	before, alarm := time.Now(), time.Now().Add(2*time.Hour)
	for _, tt := range []struct {
		name, email      string
		at               time.Time
		took             bool
		numbers, actions bool
	}{
		{"on-call before the alarm", "oncall1@example.org", before, false, true, false},
		{"on-call in the alarm", "oncall1@example.org", alarm, false, true, true},
		{"coordinator before the alarm", sitetest.Coordinator, before, false, true, false},
		{"coordinator in the alarm", sitetest.Coordinator, alarm, false, true, false},
		{"leader of another hike before the alarm", sitetest.OtherLeader, before, false, false, false},
		{"leader of another hike in the alarm", sitetest.OtherLeader, alarm, false, false, false},
		{"coordinator who took the alarm", sitetest.Coordinator, alarm, true, true, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			clock.Set(tt.at)
			v := in[tt.email].In(t)
			if tt.took {
				v.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
			}
			const number, action = "480-555-0170", "hear little"
			if got := v.Get("/hikes/1/watch").Has(number); got != tt.numbers {
				t.Errorf("the watch shows numbers: %v, want %v", got, tt.numbers)
			}
			sheet := v.Get("/hikes/1/hand-over")
			if got := sheet.Has(number); got != tt.numbers {
				t.Errorf("the hand-over sheet shows numbers: %v, want %v", got, tt.numbers)
			}
			if got := sheet.Has(action); got != tt.actions {
				t.Errorf("the hand-over sheet shows actions: %v, want %v", got, tt.actions)
			}
		})
	}
}

// Once somebody has called the emergency number, the page says who and when, and what to do until
// help comes, instead of asking for the call again.
func TestPageAfterHelpWasCalled(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	l.clock.Pass(3 * time.Hour)
	v := l.site.SignIn(t, sitetest.Coordinator)
	v.Get("/hikes/1/watch").Shows("Now: call for help")
	v.Post("/hikes/1/watch/note", url.Values{"note": {"I called the emergency number"}}).Want(http.StatusSeeOther)
	page := v.Get("/hikes/1/watch").Want(http.StatusOK)
	page.Shows("Help was called at", "by Juniper Vale", "Until they come").Hides("Now: call for help")
}

// Whoever has the alarm passes it on; then it is nobody's until somebody else takes it.
func TestAlarmIsPassedOn(t *testing.T) {
	t.Parallel()
	l := newLate(t)
	v := l.site.SignIn(t, sitetest.Coordinator)
	v.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
	v.Get("/hikes/1/watch").Shows("Juniper Vale has it, since", "Pass on to deputy")
	v.Post("/hikes/1/watch/pass", url.Values{"to": {"everybody"}}).Want(http.StatusConflict)
	v.Post("/hikes/1/watch/pass", url.Values{"to": {"deputy"}}).Want(http.StatusSeeOther)
	v.Get("/hikes/1/watch").Shows("I have it", "Passed the alarm on to the deputy").Hides("Juniper Vale has it, since")
	l.clock.Pass(time.Second)
	l.Watch(l.clock.Now)
	if l.LoggedSteps(t, l.hike)["passed-on/1 to leader4@example.org"].IsZero() {
		t.Errorf("the deputy was not told: %v", l.LoggedSteps(t, l.hike))
	}
}
