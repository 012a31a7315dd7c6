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

// House judgement: a hike that is over stays in the calendars of those who follow them
// for a month, so that it does not vanish under their eyes.
const feedBehind = 30 * 24 * time.Hour

func (s *Handlers) PublicFeed(w http.ResponseWriter, r *http.Request) error {
	listed, err := s.Hikes.Hikes(r.Context(), s.Now().Add(-feedBehind), s.Now().Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	return s.serveFeed(w, r, "Guided hikes", "hike-%d",
		slices.DeleteFunc(listed, func(l hike.Listed) bool { return l.Hike.State == hike.Draft }), nil)
}

// OwnFeed is what a person follows in their own calendar: the hikes that they have a part
// in, posted or not.
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

// feedOwner opens the link of a feed; a person who left follows nothing any more.
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

// serveFeed writes the hikes as one calendar. The trails are loaded for their pins, each
// once.
func (s *Handlers) serveFeed(w http.ResponseWriter, r *http.Request, name, uid string, listed []hike.Listed,
	adjust func(*calendar.Event, hike.Hike)) error {
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

// HikeEntry is one hike as its notice shows it, to put into a calendar by hand.
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
