package watch

import (
	"net/http"
	"slices"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/text"
	"saltbush/internal/watch"
	"saltbush/web/kit"
)

// watchVisibility returns what a viewer of a watch may see. Somebody who has taken the alarm
// sees what on-call sees for as long as it lasts.
func (s *Handlers) watchVisibility(r *http.Request, c watch.Case, v watchViewer) (privacy.Visibility, error) {
	now := s.Now()
	visibility := s.VisibilityFor(r, c.Hike, c.Window(now))
	if v.secret != "" {
		as, err := s.linkCapacity(r, c.Hike, v)
		if err != nil {
			return visibility, err
		}
		visibility.As = append(visibility.As, as)
	}
	if c.Took(v.name, now) {
		visibility.As = append(visibility.As, privacy.AsOnCall)
	}
	return visibility, nil
}

// linkCapacity returns the capacity of the holder of an alarm's link. Such links go to
// on-call, to the deputy and to coordinators. A holder who is none of these any more sees
// what the board shows.
func (s *Handlers) linkCapacity(r *http.Request, h hike.Hike, v watchViewer) (privacy.Capacity, error) {
	if v.account == 0 {
		return s.capacityByName(r, h, v.name)
	}
	a, err := s.Accounts.AccountByID(r.Context(), v.account)
	switch {
	case err != nil:
		return privacy.AsOtherLeader, err
	case kit.IsContact(a, h.OnCall) || kit.IsContact(a, h.Deputy):
		return privacy.AsOnCall, nil
	case a.Active && a.Has(account.Coordinator):
		return privacy.AsCoordinator, nil
	}
	return privacy.AsOtherLeader, nil
}

// capacityByName is linkCapacity for holders without an account, and for links that were
// sent before links held one.
func (s *Handlers) capacityByName(r *http.Request, h hike.Hike, name string) (privacy.Capacity, error) {
	if text.Same(name, h.OnCall.Name) || text.Same(name, h.Deputy.Name) {
		return privacy.AsOnCall, nil
	}
	list, err := s.Accounts.Accounts(r.Context())
	if slices.ContainsFunc(list, func(a account.Account) bool {
		return a.Active && a.Has(account.Coordinator) && text.Same(a.Name, name)
	}) {
		return privacy.AsCoordinator, err
	}
	return privacy.AsOtherLeader, err
}
