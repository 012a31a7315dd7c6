package roll_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/party"
	"saltbush/internal/site/sitetest"
)

// "Not here" by one and "here" by another stand side by side with both times, keep the party from
// leaving, and one tap settles them.
func TestHereAndNotHereIsSettledByOneTap(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	clock := sitetest.NewClock(time.Now().Truncate(time.Minute))
	h := l.Post(1, clock.Now().Add(20*time.Minute))
	who := party.PersonID(h.Staff[2].Person)
	absent := party.EventID(uuid.NewString())
	l.Record(h, party.KindAbsent, clock.Now().Add(-8*time.Minute), func(e *party.Event) {
		e.ID, e.Persons = absent, []party.PersonID{who}
	})
	l.Record(h, party.KindHere, clock.Now().Add(-5*time.Minute), func(e *party.Event) {
		e.By, e.Persons = "Leader 2", []party.PersonID{who}
	})
	v := l.Pages(clock.Now).SignIn(t, "leader1@example.org")
	page := v.Get("/hikes/1/roll").Want(http.StatusOK)
	page.Shows("Here and not here", "Absent, ", "by Leader 1", "Here, ", "by Leader 2", "This one is wrong")
	page.Shows("here, by one record, and not here, by another")
	for _, part := range []string{"start", "back"} {
		row := fmt.Sprintf(`[data-part=%s] [data-person="%s"] [data-conflict]`, part, who)
		if got := page.Text(row); !strings.Contains(got, "Here and not here: choose the right record at the top.") {
			t.Errorf("the row in %s says %q, want the conflict", part, got)
		}
	}
	v.Post("/hikes/1/roll", url.Values{"kind": {"undo"}, "event": {string(absent)}}).Want(http.StatusSeeOther)
	v.Get("/hikes/1/roll").Want(http.StatusOK).Hides(", by Leader 2", "Here and not here")
}
