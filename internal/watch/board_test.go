package watch_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
)

// caseWith is a case with a promise and a state, on a hike that is out.
func caseWith(p watch.Promise, s party.State) watch.Case {
	c := watch.Case{Promise: p, Promised: true, State: s, Times: watch.TimesFor(p, s)}
	c.Hike.State, c.Hike.OnCall.Name, c.Hike.Deputy.Name = hike.Out, "Rosa", "Tomas"
	return c
}

func TestLine(t *testing.T) {
	p := exact()
	p.OffBy = at(10, 30)
	count := event(2, party.KindCounted, at(8, 0))
	count.Number, count.Place = 3, "Wash"
	got := watch.NewBoardLine(caseWith(p, fold(departed(), count)), at(11, 0))

	if got.Phase != watch.Due || got.Expected != 4 || got.OnTrail != 4 || len(got.Missing) != 4 {
		t.Errorf("phase %q, expected %d, on trail %d, missing %v", got.Phase, got.Expected, got.OnTrail, got.Missing)
	}
	if got.LastCount == nil || got.LastCount.Leader != 3 || got.LastCount.Place != "Wash" {
		t.Errorf("last count = %+v, want 3 at Wash", got.LastCount)
	}
	if got.Next.Step != watch.StepWatch || got.ToNext != 30*time.Minute {
		t.Errorf("next %q in %v, want watch in 30 min", got.Next.Step, got.ToNext)
	}
	if len(got.Passed) != 1 || got.Passed[0].Name != "the heat limit" {
		t.Errorf("passed = %v, want the heat limit", got.Passed)
	}
	if len(got.Flags) != 1 || got.Flags[0].Kind != party.FlagCountLow {
		t.Errorf("flags = %+v, want the low count", got.Flags)
	}
	if got.StillNormal >= 0.5 || got.StillNormal <= 0.1 {
		t.Errorf("still normal = %v, want between the likely and the long duration", got.StillNormal)
	}
}

func TestReportedDelayIsNotTakenForSilence(t *testing.T) {
	delay := event(2, party.KindDelayed, at(8, 0))
	delay.Minutes, delay.Note = 60, "thunder"
	reported := watch.NewBoardLine(caseWith(exact(), fold(departed(), delay)), at(12, 0))
	silent := watch.NewBoardLine(caseWith(exact(), fold(departed())), at(11, 0))
	if reported.StillNormal != silent.StillNormal {
		t.Errorf("still normal an hour later with an hour reported = %v, want %v",
			reported.StillNormal, silent.StillNormal)
	}
}

func TestLineWithoutAClock(t *testing.T) {
	got := watch.NewBoardLine(caseWith(exact(), fold(departed(), back())), at(13, 0))
	if got.Phase != watch.Back || got.Next.Step != "" || got.Passed != nil || got.OnTrail != 0 {
		t.Errorf("line = %+v, want back and no clock", got)
	}
}

func TestSortByUrgency(t *testing.T) {
	soon, late := watch.Times{Call: at(9, 0)}, watch.Times{Call: at(12, 0)}
	flagged := []party.Flag{{Grave: true}}
	lines := []watch.BoardLine{
		{Names: watch.Names{Title: "stood down"}, Phase: watch.StoodDown},
		{Names: watch.Names{Title: "later"}, Phase: watch.OnTime, Times: late},
		{Names: watch.Names{Title: "alert"}, Phase: watch.Alert},
		{Names: watch.Names{Title: "sooner"}, Phase: watch.OnTime, Times: soon},
		{Names: watch.Names{Title: "flagged"}, Phase: watch.OnTime, Times: late, Flags: flagged},
		{Names: watch.Names{Title: "distress"}, Phase: watch.Distress},
		{Names: watch.Names{Title: "unconfirmed"}, Phase: watch.Unconfirmed},
	}
	watch.SortByUrgency(lines)
	var got []string
	for _, l := range lines {
		got = append(got, l.Title)
	}
	want := []string{"distress", "alert", "unconfirmed", "flagged", "sooner", "later", "stood down"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("order (-want +got):\n%s", diff)
	}
}

func TestHandOver(t *testing.T) {
	count := event(2, party.KindCounted, at(8, 0))
	count.Number, count.Place = 4, "Wash"
	s := fold(departed(), count, event(3, party.KindBack, at(10, 5), person(1), person(2), person(3)),
		trouble(4, at(9, 0)))
	where := unit.At(33.1, -112.2)
	items := watch.HandOver(watch.Names{Leader: "Lee Example"}, watch.Facts{
		Where: &where, Sure: "from the leader's phone", CallBack: []string{"555-0100, 80 %"},
		Details: map[party.PersonID]watch.Detail{person(4): {Looks: "man of 60", Footwear: "lugged sole"}},
	}, s)

	var headings []string
	for i, item := range items {
		headings = append(headings, item.Heading)
		if item.Number != i+1 {
			t.Errorf("item %q has number %d, want %d", item.Heading, item.Number, i+1)
		}
	}
	if len(items) != 14 || headings[0] != "Where" || headings[13] != "Family informed" {
		t.Fatalf("headings = %q, want the fourteen of the trade in order", headings)
	}
	holds := func(n int, at time.Time, words string) {
		t.Helper()
		for _, e := range items[n-1].Entries {
			if strings.Contains(e.Label+" "+e.Text, words) && e.At.Equal(at) {
				return
			}
		}
		t.Errorf("item %d %+v lacks %q at %v", n, items[n-1].Entries, words, at)
	}
	holds(1, time.Time{}, "WGS84")
	holds(2, time.Time{}, "555-0100")
	holds(3, time.Time{}, "3 of 4 accounted for by name. Not accounted for: Ben Example")
	holds(3, at(9, 0), "broken ankle")
	holds(4, at(8, 0), "Ben Example last seen or counted at Wash")
	holds(4, at(8, 0), "Last count that agreed 4 at Wash")
	holds(5, time.Time{}, "man of 60; lugged sole")
	if items[13].Known() || items[9].Known() {
		t.Error("items that nobody filled in claim to be known")
	}
}
