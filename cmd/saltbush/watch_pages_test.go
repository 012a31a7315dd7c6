package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/alexedwards/scs/pgxstore"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/team"
	"saltbush/internal/watch"
	"saltbush/web"
)

// site serves the pages without a watcher, by a clock of the test's own.
func (l *lookout) site(clock func() time.Time) program {
	l.t.Helper()
	p, _ := l.siteWith(clock)
	return p
}

// siteWith is site with its server, for what the site does by itself.
func (l *lookout) siteWith(clock func() time.Time) (program, *web.Server) {
	l.t.Helper()
	c := web.Config{Hikes: l.db, Staff: l.db, Rides: l.db, Tell: l.db, Ground: l.db, Cards: l.db, Kept: l.db, Rolls: l.db, Watch: l.db, Accounts: l.db.AccountStore(), Outbox: l.db.Outbox(), Choices: l.db, Hasher: account.NewHasher(1),
		Sessions: pgxstore.NewWithCleanupInterval(l.db.Pool(), 0), Changes: l.db.NewChanges(slog.New(slog.DiscardHandler)), Standing: watch.NewCaseCache(l.db, nil), Wakes: l.db, LocalPush: true, Ready: l.db.Ping,
		Now: clock, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	c.People, c.Calendar = l.db, l.db
	server, err := web.New(c)
	if err != nil {
		l.t.Fatal(err)
	}
	s := httptest.NewServer(server.Handler())
	l.t.Cleanup(s.Close)
	return program{base: s.URL}, server
}

// letIn gives an account the password of the tests.
func (l *lookout) letIn(email string) {
	l.t.Helper()
	ctx := context.Background()
	hash, err := account.NewHasher(1).Hash(ctx, samplePassword)
	if err != nil {
		l.t.Fatal(err)
	}
	a, err := l.db.AccountStore().AccountByEmail(ctx, email)
	if err == nil {
		err = l.db.AccountStore().SetPassword(ctx, a.ID, hash)
	}
	if err != nil {
		l.t.Fatal(err)
	}
}

func get(t *testing.T, c *http.Client, address string) (status int, page string) {
	t.Helper()
	res, err := c.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(b)
}

func post(t *testing.T, c *http.Client, address string, form url.Values) int {
	t.Helper()
	res, err := c.PostForm(address, form)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	return res.StatusCode
}

// The watcher is watched: outside monitors and the board say when it does not run.
func TestTheWatcherIsWatched(t *testing.T) {
	l := newLookout(t)
	l.letIn(coordinatorMail)
	clock := &settable{now: time.Now()}
	p := l.site(clock.get)
	c := p.signIn(t, coordinatorMail)
	check := func(name string, status int, onBoard string) {
		t.Helper()
		if got, text := get(t, c, p.base+"/healthz/watch"); got != status {
			t.Errorf("%s: /healthz/watch answers %d, want %d: %s", name, got, status, text)
		}
		_, page := get(t, c, p.base+"/board")
		if got := strings.Contains(page, "The watch is not kept"); got != (onBoard != "") || !strings.Contains(page, onBoard) {
			t.Errorf("%s: the board says %v, want %q", name, got, onBoard)
		}
	}
	check("before the first pass", http.StatusServiceUnavailable, "has not run yet")
	if err := l.watcher(clock.get).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	check("after a pass", http.StatusOK, "")
	clock.set(clock.get().Add(119 * time.Second))
	check("just under two minutes later", http.StatusOK, "")
	clock.set(clock.get().Add(3 * time.Minute))
	check("minutes later", http.StatusServiceUnavailable, "last ran 5 min ago")
}

func TestHealthOfTheWatchHasFigures(t *testing.T) {
	l := newLookout(t)
	l.depart(l.post(1, time.Now().Add(-time.Hour)), time.Now().Add(-time.Hour))
	if err := l.watcher(time.Now).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	_, text := get(t, client(t), l.site(time.Now).base+"/healthz/watch")
	for _, want := range []string{"watch kept: last pass", "saltbush_watch_last_pass_age_seconds ", "saltbush_watch_steps_waiting 6", "saltbush_watch_steps_overdue 0"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// After an outage everything overdue goes out at once and says how late it is.
func TestAfterAnOutageEverythingSaysHowLateItIs(t *testing.T) {
	l := newLookout(t)
	start := time.Now().Add(-10 * time.Hour).Truncate(time.Minute)
	h := l.post(1, start)
	l.depart(h, start)
	now := start.Add(latest + 2*time.Hour)
	if err := l.watcher(func() time.Time { return now }).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	if got, all := len(sent(t, l, h)), len(want(1, start, everyStep))+2; got != all {
		t.Errorf("%d lines, want all %d", got, all)
	}
	mails, err := l.db.Outbox().Recent(context.Background(), 100)
	if err != nil {
		t.Fatal(err)
	}
	late := map[string]string{"/watch/1/": "2 h late", "/call/1/": "1 h late", "/widen/1/": "1 h 30 late", "/card/1/": "5 h late"}
	for part, words := range late {
		found := false
		for _, m := range mails {
			if m.Channel == message.ByAlarm && strings.Contains(m.Key, part) {
				found = true
				if !strings.Contains(strings.Join(strings.Fields(m.Text), " "), words) {
					t.Errorf("mail %s does not say %q:\n%s", m.Key, words, m.Text)
				}
			}
		}
		if !found {
			t.Errorf("no mail for %s", part)
		}
	}
}

// A call for help wakes everyone at once, though no clock has run out.
func TestACallForHelpGoesOutAtOnce(t *testing.T) {
	l := newLookout(t)
	h := l.post(1, time.Now().Add(-time.Hour))
	l.depart(h, time.Now().Add(-time.Hour))
	serve(t, "serve", "--database-url", l.dsn)
	asked := time.Now()
	l.record(h, roll.KindReported, asked, func(e *roll.Event) { e.Trouble, e.Note = true, "fall, cannot walk" })
	for end := asked.Add(10 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if log, _ := l.db.WatchLog(context.Background(), h.ID); len(log) >= 5 {
			t.Logf("everyone was told %v after the call", time.Since(asked).Round(time.Millisecond))
			if got := sent(t, l, h); got["call/1 to oncall1@example.org"].IsZero() || got["call/1 to "+coordinatorMail].IsZero() {
				t.Errorf("told: %v", got)
			}
			return
		}
	}
	t.Error("nobody was told within 10 s")
}

// On-call, deputy and coordinator without any address: the log says so, and whoever can be
// reached is told instead.
func TestWhoCannotBeReachedStandsInTheLog(t *testing.T) {
	l := newLookout(t)
	start := time.Now().Add(-latest - time.Minute)
	h := l.post(1, start)
	if err := l.db.ChangeHike(context.Background(), h.ID, func(h *hike.Hike) error {
		h.OnCall, h.Deputy = team.Contact{Name: "Nobody Knows", Phone: ""}, team.Contact{}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	l.depart(h, start)
	if err := l.watcher(time.Now).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	log, err := l.db.WatchLog(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]string{}
	for _, e := range log {
		told[string(e.Step)+" "+e.Recipient] = e.Channel
	}
	if told["watch Nobody Knows, no address"] != "none" || told["watch Juniper Vale, "+coordinatorMail] != "mail" {
		t.Errorf("log: %v", told)
	}
}

// The link of an alarm opens the watch of its hike and nothing else, until it expires.
func TestAlarmLinkOpensOneWatch(t *testing.T) {
	l := newLookout(t)
	clock := &settable{now: time.Now()}
	p := l.site(clock.get)
	h := l.post(1, clock.get().Add(-latest-time.Minute))
	l.depart(h, h.Start)
	if err := l.watcher(clock.get).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	link := l.alarmLink(t, "oncall1@example.org")
	c := client(t)
	status, page := get(t, c, p.base+link)
	if status != http.StatusOK || !strings.Contains(page, "I have it") {
		t.Fatalf("status %d: %s", status, page)
	}
	if log, _ := l.db.WatchLog(context.Background(), h.ID); has(log, watch.LogAcknowledged) {
		t.Error("opening the link took the alarm: a mail scanner would too")
	}
	for path, want := range map[string]int{"/roll": http.StatusSeeOther, "/watch": http.StatusSeeOther, "/manage": http.StatusSeeOther} {
		if got, _ := get(t, c, p.base+hikePathOf(h)+path); got != want {
			t.Errorf("%s answers %d to the holder of the link, want %d: sign in", path, got, want)
		}
	}
	if got := post(t, c, p.base+link+"/acknowledge", nil); got != http.StatusSeeOther {
		t.Errorf("taking the alarm: status %d", got)
	}
	if got := post(t, c, p.base+link+"/note", url.Values{"note": {" "}}); got != http.StatusUnprocessableEntity {
		t.Errorf("an empty note: status %d, want 422", got)
	}
	wrong := link[:len(link)-1] + string('a'+(link[len(link)-1]-'a'+1)%2)
	for name, address := range map[string]string{"mistyped": wrong, "cut": link[:20]} {
		if got := post(t, c, p.base+address+"/acknowledge", nil); got != http.StatusNotFound {
			t.Errorf("a %s link: status %d, want 404", name, got)
		}
	}
	clock.set(clock.get().Add(49 * time.Hour))
	if got, _ := get(t, c, p.base+link); got != http.StatusGone {
		t.Errorf("an expired link: status %d, want 410", got)
	}
}

// From home, with the link of the alarm alone, on-call writes down who is back as the
// leader reads the names out, and stands the watch down once nobody is left.
func TestOnCallStandsDownFromHome(t *testing.T) {
	l := newLookout(t)
	p := l.site(time.Now)
	h := l.post(1, time.Now().Add(-latest-time.Minute))
	l.depart(h, h.Start)
	if err := l.watcher(time.Now).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	c, link := client(t), l.alarmLink(t, "oncall1@example.org")
	heard := url.Values{"heard": {"Leader 1, from the lot"}}
	if got := post(t, c, p.base+link+"/back", heard); got != http.StatusUnprocessableEntity {
		t.Errorf("back without a name: status %d, want 422", got)
	}
	if got := post(t, c, p.base+link+"/stand-down", nil); got != http.StatusConflict {
		t.Errorf("standing down with four out: status %d, want 409", got)
	}
	for i, m := range h.Staff {
		heard.Set("person", m.Person)
		if got := post(t, c, p.base+link+"/back", heard); got != http.StatusSeeOther {
			t.Fatalf("back by name: status %d", got)
		}
		if _, page := get(t, c, p.base+link); strings.Contains(page, link+"/stand-down") != (i == len(h.Staff)-1) {
			t.Errorf("after %d of %d names the button to stand down is on the page, or is not, wrongly", i+1, len(h.Staff))
		}
	}
	if got := post(t, c, p.base+link+"/stand-down", nil); got != http.StatusSeeOther {
		t.Errorf("standing down: status %d", got)
	}
	rec, err := l.db.Record(context.Background(), h.ID)
	if err != nil || rec.State().StoodDown.IsZero() {
		t.Errorf("not stood down: %v", err)
	}
	if by := rec.Events[len(rec.Events)-1].By; by != "On-call 01" {
		t.Errorf("stood down by %q, want the one whom the link was sent to", by)
	}
}

// Whoever took the alarm hears when it grows graver, and stays named until the graver one
// is taken too.
func TestWhoTookItHearsTheCallForHelp(t *testing.T) {
	l := newLookout(t)
	l.letIn("leader2@example.org")
	clock := &settable{now: time.Now()}
	p := l.site(clock.get)
	h := l.post(1, clock.get().Add(-latest-time.Minute))
	l.depart(h, h.Start)
	c := p.signIn(t, "leader2@example.org")
	if got := post(t, c, p.base+"/board/1/acknowledge", nil); got != http.StatusSeeOther {
		t.Fatalf("taking the alarm: status %d", got)
	}
	clock.set(clock.get().Add(3 * time.Hour))
	if err := l.watcher(clock.get).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	mails, err := l.db.Outbox().Recent(context.Background(), 100)
	if err != nil || !slices.ContainsFunc(mails, func(m message.Mail) bool {
		return m.To == "leader2@example.org" && strings.HasPrefix(m.Key, "watch/1/call/")
	}) {
		t.Errorf("no call for help to who took the alarm: %v", err)
	}
	if _, page := get(t, c, p.base+"/hikes/1/watch"); !strings.Contains(page, "Leader 2 took the alarm at") || !strings.Contains(page, "I have it") {
		t.Errorf("the watch does not say who took it: %s", page)
	}
}

func hikePathOf(h hike.Hike) string { return fmt.Sprintf("/hikes/%d", h.ID) }

// On the board somebody takes an alarm, and the row says who.
func TestTakingAnAlarmOnTheBoard(t *testing.T) {
	l := newLookout(t)
	l.letIn(coordinatorMail)
	p := l.site(time.Now)
	h := l.post(1, time.Now().Add(-latest-time.Minute))
	l.depart(h, h.Start)
	c := p.signIn(t, coordinatorMail)
	if _, page := get(t, c, p.base+"/board"); !strings.Contains(page, "I have it") {
		t.Errorf("no button on the board: %s", page)
	}
	if got := post(t, c, p.base+"/board/1/acknowledge", nil); got != http.StatusSeeOther {
		t.Errorf("status %d", got)
	}
	if _, page := get(t, c, p.base+"/board"); strings.Contains(page, "I have it") || !strings.Contains(page, "Juniper Vale has it, since") {
		t.Errorf("the board does not say who has it: %s", page)
	}
	if err := l.watcher(func() time.Time { return time.Now().Add(25 * time.Minute) }).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	for step := range sent(t, l, h) {
		if strings.HasPrefix(step, "watch-") {
			t.Errorf("%s went out though somebody has it", step)
		}
	}
}

// On-call reads numbers from the departure on, and what to do for people in an alarm; the
// coordinator never the latter; a leader of another hike neither before taking the alarm.
func TestNumbersFromDepartureAndActionsInAnAlarm(t *testing.T) {
	l := newLookout(t)
	clock := &settable{now: time.Now()}
	p := l.site(clock.get)
	l.account("Oren Vale", "oncall1@example.org", "", account.OnCall)
	l.account("Ines Calder", "elsewhere@example.org", "", account.Leader)
	in := map[string]*http.Client{}
	for _, mail := range []string{"oncall1@example.org", "elsewhere@example.org", coordinatorMail} {
		l.letIn(mail)
		in[mail] = p.signIn(t, mail)
	}
	h := overdue(t, l, -time.Hour)
	before, alarm := time.Now(), time.Now().Add(2*time.Hour)
	reads := func(who, page string, at time.Time) (numbers, action bool) {
		t.Helper()
		clock.set(at)
		_, text := get(t, in[who], p.base+hikePathOf(h)+page)
		return strings.Contains(text, "480-555-0170"), strings.Contains(text, "hear little")
	}
	for _, tt := range []struct {
		name, who       string
		at              time.Time
		numbers, action bool
	}{
		{"on-call before the alarm", "oncall1@example.org", before, true, false},
		{"on-call in the alarm", "oncall1@example.org", alarm, true, true},
		{"coordinator before the alarm", coordinatorMail, before, true, false},
		{"coordinator in the alarm", coordinatorMail, alarm, true, false},
		{"leader of another hike before the alarm", "elsewhere@example.org", before, false, false},
		{"leader of another hike in the alarm", "elsewhere@example.org", alarm, false, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if numbers, _ := reads(tt.who, "/watch", tt.at); numbers != tt.numbers {
				t.Errorf("watch: numbers %v, want %v", numbers, tt.numbers)
			}
			if numbers, action := reads(tt.who, "/hand-over", tt.at); numbers != tt.numbers || action != tt.action {
				t.Errorf("hand-over: numbers %v and actions %v, want %v and %v", numbers, action, tt.numbers, tt.action)
			}
		})
	}
	clock.set(alarm)
	if got := post(t, in["elsewhere@example.org"], p.base+"/board/1/acknowledge", nil); got != http.StatusSeeOther {
		t.Fatalf("taking the alarm: status %d", got)
	}
	if numbers, action := reads("elsewhere@example.org", "/hand-over", alarm); !numbers || !action {
		t.Errorf("who took the alarm reads numbers %v and actions %v, want both", numbers, action)
	}
}
