package notify_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/signup"
)

func TestReminderGoesOnceToWhoWantsIt(t *testing.T) {
	f := newFake()
	f.planned(t)
	f.hike.Decision.Go, f.hike.Decision.At = true, f.now.Add(-time.Hour)
	f.places[1].State = signup.Confirmed
	f.places = append(f.places, signup.SignUp{ID: "sol", State: signup.Waiting, Name: "Sol", Email: "sol@example.org"})
	f.stopped = []string{"amaya@example.org"}
	n := f.notifier(t)
	for range 2 {
		if err := n.ProcessWaitlists(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if got := f.to(); !slices.Equal(got, []string{"wren@example.org"}) {
		t.Fatalf("reminded %v, want Wren once and not Amaya, who stopped it", got)
	}
	m := f.mails[0]
	if m.Topic != message.Eve || m.StopAt != "https://hikes.example.org/mail/token-wren@example.org" {
		t.Errorf("topic %q, stopped at %q", m.Topic, m.StopAt)
	}
	for _, want := range []string{"Water to bring: ", " L (", " qt)", "kcal", "Weather: up to 20 °C (67 °F)",
		"We turn back at: ", "wherever we are"} {
		if !strings.Contains(f.text(), want) {
			t.Errorf("%q is not in the reminder:\n%s", want, f.text())
		}
	}
}

func TestNoReminderWithoutAPlanOrADecision(t *testing.T) {
	for name, change := range map[string]func(*fake){
		"no plan":      func(f *fake) { f.plan = nil },
		"not decided":  func(f *fake) { f.hike.Decision.At = time.Time{} },
		"days to come": func(f *fake) { f.now = start().Add(-50 * time.Hour) },
		"called off":   func(f *fake) { f.hike.State = "called off" },
	} {
		t.Run(name, func(t *testing.T) {
			f := newFake()
			f.planned(t)
			f.hike.Decision.At = f.now.Add(-time.Hour)
			change(f)
			if err := f.notifier(t).ProcessWaitlists(t.Context()); err != nil || len(f.mails) != 0 {
				t.Errorf("%d mails, %v; want none", len(f.mails), err)
			}
		})
	}
}
