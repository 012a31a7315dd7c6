package roll_test

import (
	"fmt"
	"net/http"
	"testing"

	"saltbush/internal/site/sitetest"
)

// The leader, the sweep and assistants read what to do for a person; the coordinator does
// not. Only the leader finds the way to the card, and nobody reads it on the roll.
func TestActionLineOnTheRoll(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	for _, tt := range []struct {
		email        string
		line, toCard bool
	}{
		{"leader1@example.org", true, true},
		{"leader2@example.org", true, false},
		{"leader3@example.org", true, false},
		{sitetest.Coordinator, false, false},
	} {
		t.Run(tt.email, func(t *testing.T) {
			path := fmt.Sprintf("/hikes/%d/roll", c.Hike.ID)
			page := c.Site.SignIn(t, tt.email).Get(path).Want(http.StatusOK).Hides(sitetest.CardSealed)
			if got := page.Has(sitetest.CardLine); got != tt.line {
				t.Errorf("shows the action line: %v, want %v", got, tt.line)
			}
			if got := page.Has(c.Card()); got != tt.toCard {
				t.Errorf("leads to the card: %v, want %v", got, tt.toCard)
			}
		})
	}
}
