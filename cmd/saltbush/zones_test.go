package main

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
)

// A hike over the night on which clocks go back, on a server that lives elsewhere: the
// watch card's mail and the page of the watch tell the trailhead's wall clock, say which of
// two equal times they mean, and agree.
func TestCardAndPageOverAClockChange(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	elsewhere, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	here := time.Local
	time.Local = elsewhere // the zone of a server is read from it; tests of this package do not run side by side
	t.Cleanup(func() { time.Local = here })

	l := newLookout(t)
	l.changeZone("America/Denver")
	start := time.Date(2026, 10, 31, 23, 0, 0, 0, denver)
	h := l.post(1, start)
	l.depart(h, start.Add(5*time.Minute))
	clock := func() time.Time { return start.Add(10 * time.Minute) }
	if err := l.watcher(clock).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	// Left 23:05 MDT for two hours, at most three: 01:05 MDT, and an hour of asking.
	told := []string{"Sat 31 Oct, 23:05", "Sun 1 Nov, 01:05 MDT", "Sun 1 Nov, 01:05 MST", "Sun 1 Nov, 02:05"}
	card := l.cardOf(h)
	for _, want := range told {
		if !strings.Contains(card, want) {
			t.Errorf("the card does not say %q:\n%s", want, card)
		}
	}
	l.letIn(coordinatorMail)
	p := l.site(clock)
	_, page := get(t, p.signIn(t, coordinatorMail), p.base+hikePathOf(h)+"/watch")
	for _, want := range []string{"23:05", "01:05 MDT", "01:05 MST", "02:05"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page of the watch does not say %q", want)
		}
	}
	for _, other := range []string{"NZDT", "18:05", "UTC"} {
		if strings.Contains(card, other) || strings.Contains(page, other) {
			t.Errorf("the server's own clock shows: %q", other)
		}
	}
}

// changeZone moves the lookout's trail to another zone.
func (l *lookout) changeZone(name string) {
	l.t.Helper()
	ctx := context.Background()
	tr, err := l.db.Trail(ctx, l.trail)
	if err != nil {
		l.t.Fatal(err)
	}
	tr.Zone, tr.Name = name, "Dry Fork by another clock"
	if l.trail, err = l.db.AddTrail(ctx, tr, []byte("<gpx/>")); err != nil {
		l.t.Fatal(err)
	}
}

// cardOf is the text of the card that went to on-call.
func (l *lookout) cardOf(h hike.Hike) string {
	l.t.Helper()
	for mail := range l.pairs(fmt.Sprintf(`SELECT subject, body FROM outbox WHERE key LIKE 'watch/%d/card/%%' AND recipient LIKE 'oncall%%'`, h.ID)) {
		return mail[1]
	}
	l.t.Fatal("no card was written")
	return ""
}
