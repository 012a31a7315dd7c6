package hike_test

import (
	"errors"
	"testing"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

// A riskier decision needs a written reason; a more cautious one needs nothing but the new
// plan.
func TestDecisionsTowardRiskAndCaution(t *testing.T) {
	at := time.Date(2026, 5, 9, 12, 0, 0, 0, time.UTC)
	for _, verdict := range []plan.Decision{plan.Change, plan.Cancel, ""} {
		h := hike.Hike{State: hike.Posted}
		var missing fault.Invalid
		if err := h.Decide("Ines Calder", at, verdict, ""); !errors.As(err, &missing) || missing["reason"] == "" {
			t.Errorf("against %q without a reason: %v, want one asked for", verdict, err)
		}
		if err := h.Decide("Ines Calder", at, verdict, "short way only"); err != nil ||
			h.Decision.Reason != "short way only" {
			t.Errorf("against %q with a reason: %v, kept %+v", verdict, err, h.Decision)
		}
	}
	for _, c := range []struct {
		name          string
		before, after plan.Decision
		stands        bool
	}{
		{"go to go", plan.Go, plan.Go, true},
		{"go to change", plan.Go, plan.Change, false},
		{"change to cancel", plan.Change, plan.Cancel, false},
		{"cancel to cancel", plan.Cancel, plan.Cancel, true},
		{"cancel to go", plan.Cancel, plan.Go, true},
		{"no plan to a go", "", plan.Go, true},
		{"no plan to a cancel", "", plan.Cancel, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := hike.Hike{State: hike.Posted}
			if err := h.Decide("Ines Calder", at, c.before, "because"); err != nil {
				t.Fatal(err)
			}
			withdrawn := h.Reconsider(c.before, c.after)
			if withdrawn == c.stands || h.Decision.Made() != c.stands {
				t.Errorf("withdrawn %t, stands %t; want it to stand %t", withdrawn, h.Decision.Made(), c.stands)
			}
		})
	}
}
