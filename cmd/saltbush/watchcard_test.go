package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/trail"
)

// The card that on-call gets at departure says all that is needed should the program never
// be heard of again: who, where, cars, times, numbers, and what to do when.
func TestCardHoldsEverything(t *testing.T) {
	l := newLookout(t)
	ctx := context.Background()
	if err := l.db.ChangeTrail(ctx, l.trail, func(tr *trail.Trail) error {
		tr.Meeting, tr.Manager, tr.Signal = "Dry Fork gate, end of the gravel road", "Saltpan District, 555 010 0199", "none past the gate"
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	h := overdue(t, l, -time.Hour)
	l.record(h, roll.KindPlate, h.Start, func(e *roll.Event) {
		e.Plates, e.Persons = []string{"SLT 114"}, []roll.PersonID{"5a17b054-0000-4000-8000-000000000000"}
	})
	if err := l.watcher(time.Now).Watch(ctx); err != nil {
		t.Fatal(err)
	}
	mails, err := l.db.OutboxOf(message.ByAlarm).Recent(ctx, 20)
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, m := range mails {
		if m.To == "oncall1@example.org" && strings.Contains(m.Subject, "Watch card") {
			text = strings.Join(strings.Fields(m.Text), " ")
		}
	}
	for _, want := range []string{
		"times stand even if you hear nothing more", "start asking (on-call): Acknowledge first", "call for help (on-call, deputy, coordinator): Call the emergency number",
		"a minor is in the group", "someone in the group has a medical card",
		"Trail: Dry Fork", "Trailhead: 33.4", "Meeting place: Dry Fork gate", "Phone signal: none past the gate", "Land manager: Saltpan District",
		"Cars: SLT 114 (Amaya Reyes)", "Left: ", "Watch time: ", "Call time: ", "Amaya Reyes: Notch Junction", "Leader Leader 1: 928-555-0100", "On call On-call 01", "Deputy Somebody",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the card does not say %q:\n%s", want, text)
			return
		}
	}
}
