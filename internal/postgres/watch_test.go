package postgres_test

import (
	"context"
	"errors"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/plan"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/watch"
)

// mustBeOut stores a hike that left at a time, with a plan of two hours, three at most.
func mustBeOut(t *testing.T, db *postgres.DB, left time.Time) hike.Hike {
	t.Helper()
	ctx := context.Background()
	h := mustHike(t, db, 5)
	s, err := db.SignUp(ctx, request(h.ID, int(h.ID)), now)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.ChangeHike(ctx, h.ID, func(c *hike.Hike) error {
		c.Meet, c.Start = left.Add(-time.Hour), left
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(2*3600), plan.Seconds(3*3600)
	if err := db.SavePlan(ctx, hike.StoredPlan{Hike: h.ID, Made: now, By: "test", Plan: p}); err != nil {
		t.Fatal(err)
	}
	departed := event(party.KindDeparted, left, party.PersonID(s.ID))
	if _, err := db.Append(ctx, h.ID, []party.Event{departed}, left); err != nil {
		t.Fatal(err)
	}
	return h
}

// tellNobody logs a step as sent to one person.
func tellNobody(f watch.Firing) (postgres.Told, error) {
	return postgres.Told{
		Lines: []watch.Logged{{Hike: f.Hike.ID, At: f.Now, Kind: watch.LogStep, Step: f.Rung.Step, Round: f.Round,
			Due: f.Rung.At, LateBy: f.LateBy, Recipient: "Rosa", Channel: "none"}},
	}, nil
}

func passAt(t *testing.T, db *postgres.DB, at time.Time, tell func(watch.Firing) (postgres.Told, error)) (failed int) {
	t.Helper()
	ctx := context.Background()
	if err := db.ArmWatches(ctx, at); err != nil {
		t.Fatal(err)
	}
	for {
		worked, err := db.FireNext(ctx, at, tell)
		if err != nil {
			failed++
		}
		if !worked {
			return failed
		}
	}
}

func stepsOf(t *testing.T, db *postgres.DB, id ref.Hike) string {
	t.Helper()
	log, err := db.WatchLog(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, l := range log {
		list = append(list, string(l.Step)+strings.Repeat("'", max(0, l.Round-1)))
	}
	return strings.Join(list, " ")
}

// A delay that is reported after the watch time postpones it. At the new time it fires again.
func TestAStepWhoseTimeMovesLaterIsArmedAnew(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	left := now.Add(-24 * time.Hour)
	h := mustBeOut(t, db, left)
	at := left.Add(3*time.Hour + time.Minute)
	passAt(t, db, at, tellNobody)
	delay := party.Event{ID: party.EventID(uuid.NewString()), Kind: party.KindDelayed, At: at, By: "x", Minutes: 15}
	if _, err := db.Append(context.Background(), h.ID, []party.Event{delay}, at); err != nil {
		t.Fatal(err)
	}
	passAt(t, db, at.Add(time.Minute), tellNobody)
	passAt(t, db, at.Add(2*time.Minute), tellNobody)
	if got := stepsOf(t, db, h.ID); got != "card watch card'" {
		t.Errorf("before the new time: %s", got)
	}
	passAt(t, db, left.Add(3*time.Hour+15*time.Minute), tellNobody)
	if got := stepsOf(t, db, h.ID); got != "card watch card' watch'" {
		t.Errorf("at the new time: %s", got)
	}
}

// A step that fails does not hold up the others, and is tried again.
func TestAFailingStepHoldsUpNoOther(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	left := now.Add(-24 * time.Hour)
	bad, good := mustBeOut(t, db, left), mustBeOut(t, db, left)
	at := left.Add(3*time.Hour + time.Minute)
	failed := passAt(t, db, at, func(f watch.Firing) (postgres.Told, error) {
		if f.Hike.ID == bad.ID {
			return postgres.Told{}, errors.New("no words for it")
		}
		return tellNobody(f)
	})
	if failed != 2 || stepsOf(t, db, good.ID) != "card watch" || stepsOf(t, db, bad.ID) != "" {
		t.Errorf("%d failed, good %q, bad %q", failed, stepsOf(t, db, good.ID), stepsOf(t, db, bad.ID))
	}
	if p, err := db.Pulse(context.Background(), at.Add(5*time.Minute)); err != nil || p.Overdue != 2 {
		t.Errorf("pulse %+v, %v; want two steps overdue", p, err)
	}
	passAt(t, db, at.Add(5*time.Minute), tellNobody)
	if got := stepsOf(t, db, bad.ID); got != "card watch" {
		t.Errorf("afterwards: %q", got)
	}
}

// If carrying out a step fails, nothing of it is stored.
func TestAStepIsCarriedOutWholeOrNotAtAll(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	left := now.Add(-24 * time.Hour)
	h := mustBeOut(t, db, left)
	passAt(t, db, left.Add(time.Minute), func(f watch.Firing) (postgres.Told, error) {
		told, _ := tellNobody(f)
		told.Mails = []message.Mail{{Channel: message.ByAlarm, To: "a@example.org", Subject: "s", Text: "t", Key: "k"}}
		told.Lines = append(told.Lines,
			watch.Logged{Hike: 999999, Kind: watch.LogStep, Recipient: "of a hike that is not"})
		return told, nil
	})
	mails, err := db.Outbox().Recent(context.Background(), 10)
	if got := stepsOf(t, db, h.ID); got != "" || err != nil || len(mails) != 0 {
		t.Errorf("log %q, %d mails, %v; want nothing", got, len(mails), err)
	}
}

func TestWatchLogStands(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := open(t)
	h := mustHike(t, db, 5)
	note := watch.Logged{Hike: h.ID, At: now, Kind: watch.LogNote, By: "Rosa", Note: "rang, no answer"}
	if err := db.AddToLog(ctx, note); err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, `UPDATE watch_log SET note = 'all well'`); err == nil {
		t.Error("a line of the log was changed")
	}
	if log, err := db.WatchLog(ctx, h.ID); err != nil || len(log) != 1 || log[0].Note != "rang, no answer" ||
		!log[0].At.Equal(now) {
		t.Errorf("log %+v, %v", log, err)
	}
}

// Each channel has its own queue, so that one does not hold up another.
func TestChannelsAreClaimedApart(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	mails := []message.Mail{{To: "a@example.org", Subject: "s", Text: "t", Key: "plain"},
		{
			Channel: message.ByAlarm,
			To:      "a@example.org",
			Subject: "s",
			Text:    "t",
			Key:     "alarm",
		}, {Channel: message.ByHook, To: "1", Subject: "s", Text: "t", Key: "hook"}}
	if err := db.Outbox().Queue(ctx, now, mails...); err != nil {
		t.Fatal(err)
	}
	for channel, want := range map[message.Channel]string{
		message.ByMail: "plain", message.ByAlarm: "alarm", message.ByHook: "hook",
	} {
		got, err := db.OutboxOf(channel).Claim(ctx, now, time.Minute, 10)
		if err != nil || len(got) != 1 || got[0].Key != want || got[0].Channel != channel {
			t.Errorf("%s: %+v, %v; want %s alone", channel, got, err, want)
		}
	}
}

func TestPulse(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	if p, err := db.Pulse(ctx, now); err != nil || !p.Asleep(now) {
		t.Errorf("before the first pass: %+v, %v", p, err)
	}
	for _, beat := range []time.Time{now, now.Add(-time.Minute)} { // the second comes from a clock behind
		if err := db.Beat(ctx, beat, "here", 0); err != nil {
			t.Fatal(err)
		}
	}
	if p, err := db.Pulse(ctx, now); err != nil || !p.Passed.Equal(now) || p.By != "here" || p.Asleep(now) {
		t.Errorf("%+v, %v", p, err)
	}
}
