package kit

import (
	"net/http"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// VisibilityFor returns which personal data of a hike the viewer may see in a window of time.
func (s *Kit) VisibilityFor(r *http.Request, h hike.Hike, w privacy.Window) privacy.Visibility {
	as := capacities(ViewerOf(r), h)
	if l := RequestOf(r).DayLink; l != nil && l.Hike == h.ID {
		as = append(as, asDayPart(l.Part))
	}
	return privacy.Visibility{As: as, Window: w}
}

// asDayPart returns the capacity that a link for the day gives.
func asDayPart(p account.DayPart) privacy.Capacity {
	switch p {
	case account.DaySweep:
		return privacy.AsSweep
	case account.DayOnCall:
		return privacy.AsOnCall
	}
	return ""
}

// StaffVisibility returns what the viewer may see on the pages of the hike's staff. None of their
// capacities depends on whether the hike is watched.
func (s *Kit) StaffVisibility(r *http.Request, h hike.Hike) privacy.Visibility {
	return s.VisibilityFor(r, h, privacy.Window{Ahead: s.Now().Before(h.Start), Day: h.OnDay(s.Now())})
}

// capacities returns what a viewer who has signed in is to a hike.
func capacities(v account.Viewer, h hike.Hike) []privacy.Capacity {
	a, ok := v.Account()
	if !ok {
		return nil
	}
	var as []privacy.Capacity
	for _, of := range []struct {
		role account.Role
		as   privacy.Capacity
	}{{account.Coordinator, privacy.AsCoordinator}, {account.Safety, privacy.AsSafety},
		{account.Trainer, privacy.AsTrainer},
		{account.Leader, privacy.AsOtherLeader}, {account.OnCall, privacy.AsOtherLeader}} {
		if v.Has(of.role) {
			as = append(as, of.as)
		}
	}
	for _, m := range h.Staff {
		switch {
		case m.Account != a.ID:
		case m.Role == team.Leader:
			as = append(as, privacy.AsLeader)
		default:
			as = append(as, privacy.AsSweep)
		}
	}
	if IsContact(a, h.OnCall) || IsContact(a, h.Deputy) {
		as = append(as, privacy.AsOnCall)
	}
	return as
}

// IsContact reports whether an account is the contact: by the address where the hike has one, else
// by the number or the name.
func IsContact(a account.Account, c team.Contact) bool {
	switch {
	case c.Email != "":
		return strings.EqualFold(a.Email, c.Email)
	case c.Phone != "" && text.SamePhone(a.Phone, c.Phone):
		return true
	}
	return text.Same(a.Name, c.Name)
}

// OpensWords says from when data is shown to those who see it on the day only.
func OpensWords(what string, h hike.Hike) string {
	return what + " on the day of the hike, from " + format.Moment(h.DayBegins(), h.Start.Location()) + "."
}
