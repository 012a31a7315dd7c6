package site_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/message"
	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/site/sitetest"
)

// missed is a record that somebody is missing, as a phone sends it.
func missed(at time.Time, who party.PersonID) party.Event {
	return party.Event{
		ID: party.EventID(uuid.NewString()), Kind: party.KindMissing, At: at, By: "Leader 1", Place: "Notch Junction",
		Persons: []party.PersonID{who},
	}
}

// A missing person reaches on-call and the deputy at once, with who it is and by when help is called,
// and everybody who was woken hears that they are found.
func TestMissingPersonIsToldAtOnce(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-time.Hour)
	h := l.Post(1, start)
	l.Depart(h, start)
	sitetest.StartOn(t, l.DSN)
	who := party.PersonID(h.Staff[2].Person)
	tapped := time.Now()
	if _, err := l.DB.Append(t.Context(), h.ID, []party.Event{missed(tapped, who)}, tapped); err != nil {
		t.Fatal(err)
	}
	await := func(step string) time.Duration {
		for end := time.Now().Add(sitetest.Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
			if !l.LoggedSteps(t, h)[step].IsZero() {
				return time.Since(tapped)
			}
		}
		t.Fatalf("%s within %v: %s", step, sitetest.Patience, l.LoggedSteps(t, h).Since(tapped))
		return 0
	}
	onCall := await("search-1/missing/1 to oncall1@example.org")
	deputy := await("search-1/missing/1 to leader4@example.org")
	t.Logf("queued for on-call %v and for the deputy %v after the tap", onCall.Round(time.Millisecond),
		deputy.Round(time.Millisecond))
	text := mailTo(t, l, "oncall1@example.org", "search-1")
	for _, want := range []string{"Leader 3 is missing", "Call for help at", "Leader Leader 1: 928-555-0100"} {
		if !strings.Contains(text, want) {
			t.Errorf("the mail lacks %q:\n%s", want, text)
		}
	}
	found := missed(time.Now(), who)
	found.Kind = party.KindFound
	if _, err := l.DB.Append(t.Context(), h.ID, []party.Event{found}, time.Now()); err != nil {
		t.Fatal(err)
	}
	await("search-1/all-clear/1 to oncall1@example.org")
	if text := mailTo(t, l, "oncall1@example.org", "all-clear"); !strings.Contains(text, "This alarm is over") ||
		!strings.Contains(text, "Leader 3 was found at Notch Junction") ||
		strings.Contains(text, "or the next person is woken") {
		t.Errorf("the all-clear reads:\n%s", text)
	}
}

func mailTo(t *testing.T, l *sitetest.Lookout, to, key string) string {
	t.Helper()
	list := mailsOf(t, l, message.ByAlarm)
	i := slices.IndexFunc(list, func(m message.Mail) bool { return m.To == to && strings.Contains(m.Key, key) })
	if i < 0 {
		t.Fatalf("no mail to %s about %s", to, key)
	}
	return strings.Join(strings.Fields(list[i].Text), " ")
}

// A search opened without signal, on a phone whose clock is three hours ahead, is told at the first
// bar of signal, with its clocks from when it really began.
func TestSearchOpenedOfflineIsToldAtTheFirstBar(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-time.Hour).Truncate(time.Second)
	h := l.Post(1, start)
	l.Depart(h, start)
	const ahead = 3 * time.Hour
	began, arrived := time.Now().Add(-12*time.Minute).Truncate(time.Second), time.Now()
	e := missed(began.Add(ahead), party.PersonID(h.Staff[2].Person))
	batch := roll.Batch{SentAt: arrived.Add(ahead), Events: rawEvents(t, e)}
	if _, err := roll.Receive(t.Context(), l.DB, h.ID, batch, "Leader 1", arrived); err != nil {
		t.Fatal(err)
	}
	l.Watch(func() time.Time { return arrived })
	steps := l.LoggedSteps(t, h)
	if at := steps["search-1/missing/1 to oncall1@example.org"]; at.Sub(began).Abs() > 2*time.Second {
		t.Errorf("told as of %v, want %v, when it began: %s", at, began, steps.Since(start))
	}
	rec, err := l.DB.Record(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	s, open := rec.State().Searching()
	if !open || s.CallAt().Sub(began.Add(party.BackCheckFor)).Abs() > 2*time.Second {
		t.Errorf("call at %v, want half an hour after %v", s.CallAt(), began)
	}
}

func rawEvents(t *testing.T, events ...party.Event) []json.RawMessage {
	t.Helper()
	var list []json.RawMessage
	for _, e := range events {
		b, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, b)
	}
	return list
}
