package watch_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// While the group searches for one person, the sheet is about that person, not about
// everybody who is still out.
func TestHandOverIsAboutTheOneWhoIsMissing(t *testing.T) {
	at := time.Date(2026, 5, 9, 16, 0, 0, 0, time.UTC)
	id := func(n int) party.PersonID { return party.PersonID(fmt.Sprintf("00000000-0000-4000-8000-%012d", n)) }
	var r party.Roster
	var all []party.PersonID
	for i := range 5 {
		r, all = append(r, party.Entry{ID: id(i), Name: fmt.Sprintf("Walker %d", i)}), append(all, id(i))
	}
	s := party.Fold(r, []party.Event{
		{ID: "a", Kind: party.KindDeparted, At: at, By: "Ash", Persons: all, Number: 5, Place: "trailhead"},
		{ID: "b", Kind: party.KindMissing, At: at.Add(time.Hour), By: "Ash", Persons: all[4:], Place: "Wash",
			SeenBy: "Walker 2", SeenAt: at.Add(50 * time.Minute)},
		{ID: "c", Kind: party.KindStep, At: at.Add(62 * time.Minute), By: "Ash", Step: 3},
		{ID: "d", Kind: party.KindNoted, At: at.Add(63 * time.Minute), By: "Ash", To: party.TopicClothing,
			Note: "red hat"},
		{ID: "e", Kind: party.KindNoted, At: at.Add(64 * time.Minute), By: "Ash", To: party.TopicDone,
			Note: "whistled"},
	})
	var text strings.Builder
	for _, item := range watch.HandOver(watch.Names{}, watch.Facts{}, s) {
		for _, e := range item.Entries {
			fmt.Fprintf(&text, "%d %s: %s\n", item.Number, e.Label, e.Text)
		}
	}
	for _, want := range []string{"3 Missing since: Walker 4; the other 4 were counted",
		"5 Clothing of the missing: red hat (noted by Ash)", "13 What was done: whistled (noted by Ash)",
		"4 Walker 4: last seen or counted at trailhead",
		"4 Last seen: Wash, by Walker 2", "13 Step 3, by Ash: Three whistle"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
	if strings.Contains(text.String(), "4 Walker 1: last seen or counted") {
		t.Error("the sheet tells of those who are with the group")
	}
}
