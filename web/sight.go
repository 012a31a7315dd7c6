package web

import (
	"net/http"
	"slices"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/text"
	"saltbush/internal/watch"
	"saltbush/web/view"
)

// sightOf is what whoever asks may see of the people of a hike, in the given window.
func (s *Server) sightOf(r *http.Request, h hike.Hike, w hike.Window) hike.Sight {
	as := capacities(viewerOf(r), h)
	if l, ok := r.Context().Value(dayKey).(account.DayLink); ok && l.Hike == int64(h.ID) {
		as = append(as, map[account.DayPart]hike.Capacity{account.DaySweep: hike.AsSweep, account.DayOnCall: hike.AsOnCall}[l.Part])
	}
	return hike.Sight{As: as, Window: w}
}

// staffSight is the sight of those who manage a hike or take its roll. None of their
// capacities asks whether the hike is watched.
func (s *Server) staffSight(r *http.Request, h hike.Hike) hike.Sight {
	return s.sightOf(r, h, hike.Window{Ahead: s.Now().Before(h.Start), Day: h.OnDay(s.Now())})
}

// capacities are what somebody who has signed in is to a hike.
func capacities(v account.Viewer, h hike.Hike) []hike.Capacity {
	a, ok := v.Account()
	if !ok {
		return nil
	}
	var as []hike.Capacity
	for _, of := range []struct {
		role account.Role
		as   hike.Capacity
	}{{account.Coordinator, hike.AsCoordinator}, {account.Safety, hike.AsSafety}, {account.Trainer, hike.AsTrainer},
		{account.Leader, hike.AsOtherLeader}, {account.OnCall, hike.AsOtherLeader}} {
		if v.Has(of.role) {
			as = append(as, of.as)
		}
	}
	for _, m := range h.Staff {
		switch {
		case m.Account != int64(a.ID):
		case m.Role == hike.Leader:
			as = append(as, hike.AsLeader)
		default:
			as = append(as, hike.AsSweep)
		}
	}
	if isContact(a, h.OnCall) || isContact(a, h.Deputy) {
		as = append(as, hike.AsOnCall)
	}
	return as
}

// isContact tells whether an account is the one named on call: by the address, the number,
// or where the hike gives no address, the name.
func isContact(a account.Account, c hike.Contact) bool {
	switch {
	case c.Email != "":
		return strings.EqualFold(a.Email, c.Email)
	case c.Phone != "" && text.SamePhone(a.Phone, c.Phone):
		return true
	}
	return text.Same(a.Name, c.Name)
}

// watchSight is the sight of whoever looks at a watch. Whoever took the alarm sees what
// on-call sees, for as long as it lasts.
func (s *Server) watchSight(r *http.Request, c watch.Case, v watcherIn) (hike.Sight, error) {
	now := s.Now()
	sight := s.sightOf(r, c.Hike, c.Window(now))
	if v.secret != "" {
		as, err := s.linkCapacity(r, c.Hike, v.name)
		if err != nil {
			return sight, err
		}
		sight.As = append(sight.As, as)
	}
	if c.Took(v.name, now) {
		sight.As = append(sight.As, hike.AsOnCall)
	}
	return sight, nil
}

// linkCapacity is what the holder of an alarm's link is: such links go to on-call, to the
// deputy and to coordinators, by name. Whoever is none of them any more sees no more than
// the board tells.
func (s *Server) linkCapacity(r *http.Request, h hike.Hike, name string) (hike.Capacity, error) {
	if text.Same(name, h.OnCall.Name) || text.Same(name, h.Deputy.Name) {
		return hike.AsOnCall, nil
	}
	list, err := s.Accounts.Accounts(r.Context())
	if slices.ContainsFunc(list, func(a account.Account) bool {
		return a.Active && a.Has(account.Coordinator) && text.Same(a.Name, name)
	}) {
		return hike.AsCoordinator, err
	}
	return hike.AsOtherLeader, err
}

// opensWords says from when a kind of data is shown to those who see it on the day alone.
func opensWords(what string, h hike.Hike) string {
	return what + " on the day of the hike, from " + view.Moment(h.DayBegins(), h.Start.Location()) + "."
}
