package sample_test

import (
	"context"
	"testing"

	"saltbush/internal/hike"
)

func TestHikesThatAreOutHaveDayLinks(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := loaded(t)
	list, err := s.Hikes.Hikes(ctx, now.AddDate(0, 0, -1), now)
	if err != nil {
		t.Fatal(err)
	}
	out := 0
	for _, l := range list {
		if l.Hike.State != hike.Out {
			continue
		}
		out++
		links, err := s.Accounts.DayLinks(ctx, l.Hike.ID)
		if err != nil || len(links) != 2 {
			t.Fatalf("hike %q has %d links, %v; want 2", l.Hike.Title, len(links), err)
		}
		if links[0].LastUsed.IsZero() || links[1].Withdrawn.IsZero() || links[0].MadeBy == "" {
			t.Errorf("hike %q: %+v; want one used and one withdrawn, by the leader", l.Hike.Title, links)
		}
	}
	if out == 0 {
		t.Error("no hike is out in the demo")
	}
}
