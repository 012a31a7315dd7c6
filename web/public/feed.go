package public

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/trail"
	"saltbush/web/kit"
)

// Our judgment: a hike that is over stays in the feeds for a month, so that it does not
// suddenly vanish from people's calendars.
const feedBehind = 30 * 24 * time.Hour

// PublicFeed is the calendar feed of all hikes but drafts.
func (s *Handlers) PublicFeed(w http.ResponseWriter, r *http.Request) error {
	listed, err := s.Hikes.Hikes(r.Context(), s.Now().Add(-feedBehind), s.Now().Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	return s.serveFeed(w, r, "Guided hikes", "hike-%d",
		slices.DeleteFunc(listed, func(l hike.Listed) bool { return l.Hike.State == hike.Draft }), nil)
}

// OwnFeed is the calendar feed of one person: the hikes that they have a part in, drafts
// included.
func (s *Handlers) OwnFeed(w http.ResponseWriter, r *http.Request) error {
	me, err := s.feedOwner(r)
	if err != nil {
		return err
	}
	listed, err := s.Hikes.Hikes(r.Context(), s.Now().Add(-feedBehind), s.Now().Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	listed = slices.DeleteFunc(listed, func(l hike.Listed) bool {
		_, on := hike.MemberOf(l.Hike, me.ID)
		return !on
	})
	return s.serveFeed(w, r, "My hikes", "part-%d-"+strconv.FormatInt(int64(me.ID), 10), listed,
		func(e *calendar.Event, h hike.Hike) {
			m, _ := hike.MemberOf(h, me.ID)
			e.Summary = string(m.Role) + ": " + h.Title
			if !m.Accepted() && e.Status != calendar.Cancelled {
				e.Status, e.Description = calendar.Tentative, "You are asked and have not answered. "+e.Description
			}
		})
}

// feedOwner returns the owner of a feed link. The link of a deactivated account is unknown.
func (s *Handlers) feedOwner(r *http.Request) (account.Account, error) {
	secret, err := account.ParseSecret(kit.SecretIn(r))
	if err != nil {
		return account.Account{}, err
	}
	feed, err := s.Accounts.ReadFeed(r.Context(), secret.Hash(), s.Now())
	if err != nil {
		return account.Account{}, err
	}
	me, err := s.Accounts.AccountByID(r.Context(), feed.Owner)
	if err == nil && !me.Active {
		err = account.ErrLinkUnknown
	}
	return me, err
}

// serveFeed writes the hikes as one calendar. uid is the format of an entry's ID, with the
// hike's number; adjust, if any, changes an entry.
func (s *Handlers) serveFeed(
	w http.ResponseWriter, r *http.Request, name, uid string, listed []hike.Listed,
	adjust func(*calendar.Event, hike.Hike),
) error {
	trails := map[ref.Trail]trail.Trail{}
	var events []calendar.Event
	for _, l := range listed {
		t, known := trails[l.Hike.Trail]
		if !known {
			var err error
			if t, err = s.Hikes.Trail(r.Context(), l.Hike.Trail); err != nil {
				return err
			}
			trails[l.Hike.Trail] = t
		}
		e := notify.HikeEvent(l.Hike, t, l.Plan)
		e.UID, e.URL = fmt.Sprintf(uid, l.Hike.ID)+"@"+s.notify.Site(), s.BaseURL+paths.Hike(l.Hike.ID)
		if adjust != nil {
			adjust(&e, l.Hike)
		}
		events = append(events, e)
	}
	events, err := s.notify.Number(r.Context(), events...)
	if err != nil {
		return err
	}
	return kit.SendCalendar(w, calendar.Calendar{Name: name, Method: calendar.Publish, Events: events})
}

// HikeEntry is the calendar entry of one hike, to add by hand.
func (s *Handlers) HikeEntry(w http.ResponseWriter, r *http.Request) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	e := notify.HikeEvent(t.Hike, t.Trail, t.Plan)
	e.UID, e.URL = fmt.Sprintf("hike-%d@%s", t.Hike.ID, s.notify.Site()), s.BaseURL+paths.Hike(t.Hike.ID)
	events, err := s.notify.Number(r.Context(), e)
	if err != nil {
		return err
	}
	return kit.SendCalendar(w, calendar.Calendar{Method: calendar.Publish, Events: events})
}
