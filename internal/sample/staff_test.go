package sample_test

import (
	"context"
	"slices"
	"testing"

	"saltbush/internal/hike"
	"saltbush/internal/staffing"
	"saltbush/internal/unit"
)

func TestStaffingShowsItsGaps(t *testing.T) {
	t.Parallel()
	s := loaded(t)
	b, err := staffing.OpenBook(context.Background(), s.Hikes, s.Staff, now.AddDate(0, 0, -2),
		now.AddDate(0, 0, staffing.GapsAhead))
	if err != nil {
		t.Fatal(err)
	}
	today := unit.DateOf(now.In(b.Listed[0].Hike.Start.Location()))
	var found []string
	for _, g := range b.Gaps(now, today) {
		found = append(found, g.What)
		t.Log(g.Day, g.Severity, g.What, g.Says)
	}
	for _, want := range []string{"sweep not accepted", "leader not accepted", "on-call not accepted", "only with help",
		"sweep not qualified", "certificate ends",
		"certificate ended", "clash", "provisional"} {
		if !slices.Contains(found, want) {
			t.Errorf("no gap %q", want)
		}
	}
	for _, h := range b.Listed {
		if blocks := b.Crew(h).Blocks(); h.Hike.Start.Before(now.AddDate(0, 0, 8)) && h.Hike.State != hike.CalledOff &&
			len(blocks) > 0 {
			t.Errorf("%s, soon to go, has staff who may not go: %v", h.Hike.Title, blocks)
		}
	}
	if r := b.Reminders(now, today); len(r) < 3 {
		t.Errorf("%d reminders, want at least 3", len(r))
	}
}
