package site_test

import (
	"context"
	"fmt"
	"net/http"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/trail"
)

// The card that on-call gets at departure says all that is needed should the program never be
// heard of again: who, where, cars, times, numbers, and what to do when.
func TestWatchCardHoldsEverything(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	err := l.DB.ChangeTrail(context.Background(), l.Trail, func(tr *trail.Trail) error {
		tr.Meeting = "Dry Fork gate, end of the gravel road"
		tr.Manager = "Saltpan District, 555 010 0199"
		tr.Signal = "none past the gate"
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	h := l.Overdue(-time.Hour)
	l.Record(h, party.KindPlate, h.Start, func(e *party.Event) {
		e.Plates, e.Persons = []string{"SLT 114"}, []party.PersonID{"5a17b054-0000-4000-8000-000000000000"}
	})
	l.Watch(time.Now)
	card := watchCard(t, l)
	for _, want := range []string{
		"times stand even if you hear nothing more", "start asking (on-call): First press \"I have it\"",
		"call for help (on-call, deputy, coordinator): Call the emergency number", "a minor is in the group",
		"someone in the group has a medical card", "Trail: Dry Fork", "Trailhead: 33.4",
		"Meeting place: Dry Fork gate", "Phone signal: none past the gate", "Land manager: Saltpan District",
		"Cars: SLT 114 (Amaya Reyes)", "Left: ", "Watch time: ", "Call time: ", "Amaya Reyes: Notch Junction",
		"Leader Leader 1: 928-555-0100", "On call On-call 01", "Deputy Somebody",
	} {
		if !strings.Contains(card, want) {
			t.Errorf("the card does not say %q:\n%s", want, card)
		}
	}
}

// watchCard is the text of the latest card to on-call, in one line.
func watchCard(t *testing.T, l *sitetest.Lookout) string {
	t.Helper()
	for _, m := range mailsOf(t, l, message.ByAlarm) {
		if m.To == "oncall1@example.org" && strings.Contains(m.Subject, "Watch card") {
			return strings.Join(strings.Fields(m.Subject+" "+m.Text), " ")
		}
	}
	t.Fatal("no card was mailed to on-call")
	return ""
}

// A hike over the night on which clocks go back, on a server far away: the card and the page
// of the watch give the trailhead's wall clock, say which of two equal times they mean, and
// agree.
func TestCardAndPageOverAClockChange(t *testing.T) {
	t.Parallel()
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Fatal(err)
	}
	l := sitetest.NewLookout(t)
	way := sitetest.DryFork()
	way.Zone, way.Name = "America/Denver", "Dry Fork by another clock"
	if l.Trail, err = sitetest.AddTrail(context.Background(), l.DB, way); err != nil {
		t.Fatal(err)
	}
	start := time.Date(2026, 10, 31, 23, 0, 0, 0, denver)
	h := l.Post(1, start)
	l.Depart(h, start.Add(5*time.Minute))
	clock := sitetest.NewClock(start.Add(10 * time.Minute))
	l.Watch(clock.Now)
	card := watchCard(t, l)
	page := watchPage(t, l, clock, h)
	// Left 23:05 MDT for two hours, at most three: 01:05 MDT, 01:05 MST, and an hour of asking.
	for _, want := range []string{"Sat 31 Oct, 23:05", "Sun 1 Nov, 01:05 MDT", "Sun 1 Nov, 01:05 MST",
		"Sun 1 Nov, 02:05"} {
		if !strings.Contains(card, want) {
			t.Errorf("the card does not say %q:\n%s", want, card)
		}
		page.Shows(want[strings.Index(want, ", ")+2:])
	}
	for _, other := range []string{"NZDT", "18:05", "UTC"} {
		if strings.Contains(card, other) {
			t.Errorf("the card shows the server's own clock, %q:\n%s", other, card)
		}
		page.Hides(other)
	}
}

func watchPage(t *testing.T, l *sitetest.Lookout, clock *sitetest.Clock, h hike.Hike) sitetest.Page {
	t.Helper()
	v := l.Pages(clock.Now).SignIn(t, sitetest.Coordinator)
	return v.Get(fmt.Sprintf("/hikes/%d/watch", h.ID)).Want(http.StatusOK)
}
