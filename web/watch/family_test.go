package watch_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/site/sitetest"
)

// On-call reads whom to call for the leader; the leader sets it, and closing the account deletes it.
func TestFamilyContactOfTheLeader(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	clock := sitetest.NewClock(time.Now().Truncate(time.Minute))
	h := l.Post(1, clock.Now().Add(-time.Hour))
	l.Record(h, party.KindDeparted, clock.Now().Add(-time.Hour), func(e *party.Event) {
		e.Number = len(h.Staff)
		for _, m := range h.Staff {
			e.Persons = append(e.Persons, party.PersonID(m.Person))
		}
	})
	pages := l.Pages(clock.Now)
	leader, coordinator := pages.SignIn(t, "leader1@example.org"), pages.SignIn(t, sitetest.Coordinator)
	coordinator.Get("/hikes/1/watch").Want(http.StatusOK).Shows("No family contact is on file")
	leader.Post("/account/family", url.Values{"family_name": {"Teo Moreno"}, "family_phone": {"12"}}).
		Want(http.StatusUnprocessableEntity)
	leader.Post("/account/family", url.Values{"family_name": {"Teo Moreno"}, "family_phone": {"+1 602 555 0144"}}).
		Want(http.StatusSeeOther)
	leader.Get("/account").Want(http.StatusOK).Shows(`value="Teo Moreno"`)
	for _, path := range []string{"/hikes/1/watch", "/hikes/1/hand-over"} {
		coordinator.Get(path).Want(http.StatusOK).Shows("Teo Moreno, ")
	}
	coordinator.Get("/hikes/1/roll").Want(http.StatusOK).Hides("Teo Moreno")
	ctx, accounts := context.Background(), l.DB.AccountStore()
	a, err := accounts.AccountByEmail(ctx, "leader1@example.org")
	if err != nil {
		t.Fatal(err)
	}
	a.Active = false
	if err := accounts.UpdateAccount(ctx, a); err != nil {
		t.Fatal(err)
	}
	if a, err = accounts.AccountByEmail(ctx, a.Email); err != nil || a.Family.Words() != "" {
		t.Errorf("%+v, %v; want no family contact after the account was closed", a.Family, err)
	}
}
