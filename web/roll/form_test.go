package roll_test

import (
	"net/http"
	"net/url"
	"saltbush/internal/party"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/site/sitetest"
)

// Without scripts the forms record, and "Not here after all" takes the mark back.
func TestFormsRecordWithoutScripts(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	person := s.Roll(t, 1).Roster[0].ID
	form := url.Values{"event": {uuid.NewString()}, "person": {string(person)}}
	for _, kind := range []string{"here", "here", "undo"} { // the second is the same event again
		form.Set("kind", kind)
		v.Post(rollPath, form).Want(http.StatusSeeOther)
	}
	rec := s.Roll(t, 1)
	if got, _ := rec.State().Person(person); got.Where != party.WhereExpected || len(rec.Events) != 2 {
		t.Errorf("%s after %d records, want expected after 2", got.Where, len(rec.Events))
	}
}

// A walker who left early and meets the group again is in the number again.
func TestLeaverIsBackWithTheGroup(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	s.Depart(t)
	v := s.SignIn(t, sitetest.Leader)
	people := s.People(t, 1)
	amaya, bashir := people["Amaya Reyes"], people["Bashir Noor"]
	send := func(want int, form url.Values) {
		t.Helper()
		form.Set("event", uuid.NewString())
		form.Set("place", "Notch Junction")
		v.Post(rollPath, form).Want(want)
	}
	before := s.Roll(t, 1).State().Expected
	send(http.StatusSeeOther, url.Values{
		"kind": {"left early"}, "person": {string(amaya)}, "buddy": {string(bashir)}, "going": {"own car"},
		"minutes": {"40"},
	})
	again := url.Values{"kind": {"joined again"}}
	send(http.StatusUnprocessableEntity, again)
	again.Set("person", uuid.NewString())
	send(http.StatusUnprocessableEntity, again)
	again.Set("person", string(amaya))
	send(http.StatusSeeOther, again)
	state := s.Roll(t, 1).State()
	if got, _ := state.Person(amaya); got.Where != party.WhereOut || got.Last.Place != "Notch Junction" {
		t.Errorf("she is %s, last at %s; want out, at Notch Junction", got.Where, got.Last.Place)
	}
	if state.Expected != before-1 || len(state.People) != len(people) {
		t.Errorf("%d expected of %d people, want %d of %d: Bashir is gone and nobody is new",
			state.Expected, len(state.People), before-1, len(people))
	}
}
