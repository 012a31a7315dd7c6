package roll_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/party"
	"saltbush/internal/site/sitetest"
)

// What the leader writes for rescuers stands on the hand-over, under the question it answers.
func TestLeaderAddsToTheHandOver(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	sendBatch(t, v, fields{"events": append(morning(s.Roll(t, 1), time.Now().Add(-time.Hour)), party.Event{
		ID: newID(), Kind: party.KindMissing, At: time.Now().Add(-20 * time.Minute), Place: "the fork",
		Persons: []party.PersonID{s.People(t, 1)["Amaya Reyes"]},
	})})
	note := url.Values{"event": {uuid.NewString()}, "kind": {"noted"}, "going": {"the weather"}, "reason": {"red hat"}}
	v.Post(rollPath, note).Want(http.StatusUnprocessableEntity)
	note.Set("going", party.TopicClothing)
	v.Post(rollPath, note).Want(http.StatusSeeOther)
	v.Get("/hikes/1/hand-over").Want(http.StatusOK).
		Shows("Missing since", "Amaya Reyes; ", "Clothing of the missing", "red hat (noted by Ash Moreno)")
	if got := s.Roll(t, 1).State().NotedAbout(party.TopicClothing); len(got) != 1 || got[0].Text != "red hat" {
		t.Errorf("noted %+v, want the one line", got)
	}
}
