package watch

import (
	"net/http"
	"slices"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/text"
	"saltbush/internal/watch"
)

// watchVisibility is the sight of whoever looks at a watch. Whoever took the alarm sees what
// on-call sees, for as long as it lasts.
func (s *Handlers) watchVisibility(r *http.Request, c watch.Case, v watcherIn) (privacy.Visibility, error) {
	now := s.Now()
	sight := s.VisibilityFor(r, c.Hike, c.Window(now))
	if v.secret != "" {
		as, err := s.linkCapacity(r, c.Hike, v.name)
		if err != nil {
			return sight, err
		}
		sight.As = append(sight.As, as)
	}
	if c.Took(v.name, now) {
		sight.As = append(sight.As, privacy.AsOnCall)
	}
	return sight, nil
}

// linkCapacity is what the holder of an alarm's link is: such links go to on-call, to the
// deputy and to coordinators, by name. Whoever is none of them any more sees no more than
// the board tells.
func (s *Handlers) linkCapacity(r *http.Request, h hike.Hike, name string) (privacy.Capacity, error) {
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
