package notify_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
)

func TestEverybodyWithAPlaceLearnsOfAChange(t *testing.T) {
	f := newFake()
	f.places = append(f.places,
		signup.SignUp{ID: "sol", State: signup.Confirmed, Name: "Sol Marsh", Email: "sol@example.org"})
	tell := f.notifier(t).NotifyOnChange(t.Context(), f.hike.ID)
	f.hike.Meet, f.hike.Start = f.hike.Meet.Add(-time.Hour), f.hike.Start.Add(-time.Hour)
	f.trail.Meeting = "right at the gate"
	f.places[0].State = signup.Withdrawn // Wren gave it back meanwhile, and was told so
	f.places[1].State = signup.Confirmed // Amaya got a place meanwhile, with the new times
	tell()
	if got := f.to(); !slices.Equal(got, []string{"sol@example.org"}) {
		t.Fatalf("told %v, want Sol, who still has a place", got)
	}
	for _, want := range []string{
		"Meet: 05:00, no longer 06:00.", "We leave: 05:30, no longer 06:30.",
		"Where: right at the gate, no longer left at the tank.",
	} {
		if !strings.Contains(f.text(), want) {
			t.Errorf("%q is not in the mail:\n%s", want, f.text())
		}
	}
	if strings.Contains(f.text(), "Day: Saturday 2 May 2026, no longer") || f.mails[0].Key != "changed/sol-1" {
		t.Errorf("key %s:\n%s", f.mails[0].Key, f.text())
	}
}

func TestNobodyIsToldOf(t *testing.T) {
	for name, change := range map[string]func(*fake){
		"no change":                  func(*fake) {},
		"an end that moves a little": func(f *fake) { f.plan.Time.P90 += 14 * 60 },
		"a draft":                    func(f *fake) { f.hike.State = hike.Draft },
		"a hike that is out":         func(f *fake) { f.hike.State = hike.Out },
	} {
		t.Run(name, func(t *testing.T) {
			f := newFake()
			f.planned(t)
			plan := *f.plan
			f.plan = &plan
			tell := f.notifier(t).NotifyOnChange(t.Context(), f.hike.ID)
			changed := plan
			f.plan = &changed
			change(f)
			tell()
			if len(f.mails) != 0 {
				t.Errorf("told %v:\n%s", f.to(), f.text())
			}
		})
	}
}

func TestAnEndThatMovesFarIsTold(t *testing.T) {
	f := newFake()
	f.planned(t)
	tell := f.notifier(t).NotifyOnChange(t.Context(), f.hike.ID)
	later := *f.plan
	later.Time.P90 += 16 * 60
	later.Water.Carry++ // or the end of the water would hold the watch time
	f.plan = &later
	tell()
	if !strings.Contains(f.text(), "Back: between") {
		t.Errorf("want a mail about the end, got:\n%s", f.text())
	}
}
