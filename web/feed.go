package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

// House judgement: a hike that is over stays in the calendars of those who follow them
// for a month, so that it does not vanish under their eyes.
const feedBehind = 30 * 24 * time.Hour

// site is the name behind the @ of every entry: entries of two sites never meet.
func (s *Notifier) site() string {
	u, err := url.Parse(s.BaseURL)
	if err != nil || u.Hostname() == "" {
		return "saltbush.invalid"
	}
	return u.Hostname()
}

// entryOf is a hike as a calendar shows it: from the time of meeting to the time under
// which nine groups in ten stay. Without a plan nobody knows its end.
func entryOf(h hike.Hike, t hike.Trail, p *plan.Plan) calendar.Event {
	e := calendar.Event{Start: h.Meet, Summary: h.Title, Location: t.Name, Status: calendar.Tentative}
	if len(t.Profile.Samples) > 0 {
		e.At = t.Profile.SampleAt(0).At
	}
	if t.Meeting != "" {
		e.Location += ": " + t.Meeting
	}
	leave := "We leave at " + format.Clock(h.Start, h.Start.Location()) + "."
	if p != nil {
		e.End = h.Start.Add(p.Time.P90.Duration())
		e.Description = leave + " The end shown is the late end of an estimate: nine groups in ten are back by then."
	} else {
		e.Description = leave + " When we are back is worked out with the plan, a day or two before."
	}
	switch {
	case h.State == hike.CalledOff:
		e.Status, e.Description = calendar.Cancelled, "Called off: "+h.CalledOffBecause
	case h.Decision.Made() || h.State != hike.Draft && h.State != hike.Posted:
		e.Status = calendar.Confirmed
	}
	return e
}

func (s *publicHandlers) publicFeed(w http.ResponseWriter, r *http.Request) error {
	listed, err := s.Hikes.Hikes(r.Context(), s.Now().Add(-feedBehind), s.Now().Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	return s.serveFeed(w, r, "Guided hikes", "hike-%d", slices.DeleteFunc(listed, func(l hike.Listed) bool { return l.Hike.State == hike.Draft }), nil)
}

// ownFeed is what a person follows in their own calendar: the hikes that they have a part
// in, posted or not.
func (s *publicHandlers) ownFeed(w http.ResponseWriter, r *http.Request) error {
	me, err := s.feedOwner(r)
	if err != nil {
		return err
	}
	listed, err := s.Hikes.Hikes(r.Context(), s.Now().Add(-feedBehind), s.Now().Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	listed = slices.DeleteFunc(listed, func(l hike.Listed) bool {
		_, on := memberOf(l.Hike, int64(me.ID))
		return !on
	})
	return s.serveFeed(w, r, "My hikes", "part-%d-"+strconv.FormatInt(int64(me.ID), 10), listed, func(e *calendar.Event, h hike.Hike) {
		m, _ := memberOf(h, int64(me.ID))
		e.Summary = string(m.Role) + ": " + h.Title
		if !m.Accepted() && e.Status != calendar.Cancelled {
			e.Status, e.Description = calendar.Tentative, "You are asked and have not answered. "+e.Description
		}
	})
}

// feedOwner opens the link of a feed; a person who left follows nothing any more.
func (s *publicHandlers) feedOwner(r *http.Request) (account.Account, error) {
	secret, err := account.ParseSecret(secretIn(r))
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
func (s *publicHandlers) serveFeed(w http.ResponseWriter, r *http.Request, name, uid string, listed []hike.Listed, adjust func(*calendar.Event, hike.Hike)) error {
	trails := map[hike.TrailID]hike.Trail{}
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
		e := entryOf(l.Hike, t, l.Plan)
		e.UID, e.URL = fmt.Sprintf(uid, l.Hike.ID)+"@"+s.notify.site(), s.BaseURL+hikePath(l.Hike.ID)
		if adjust != nil {
			adjust(&e, l.Hike)
		}
		events = append(events, e)
	}
	events, err := s.notify.numbered(r.Context(), events...)
	if err != nil {
		return err
	}
	return sendCalendar(w, calendar.Calendar{Name: name, Method: calendar.Publish, Events: events})
}

// numbered gives events their numbers; without a store they stay at zero.
func (s *Notifier) numbered(ctx context.Context, events ...calendar.Event) ([]calendar.Event, error) {
	now := s.Now().Truncate(time.Second)
	if s.Calendar == nil {
		for i := range events {
			events[i].Stamp = now
		}
		return events, nil
	}
	return s.Calendar.Number(ctx, now, events...)
}

func sendCalendar(w http.ResponseWriter, c calendar.Calendar) error {
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8; method="+string(c.Method))
	w.Header().Set("Cache-Control", "private, no-cache")
	_, err := w.Write(c.Bytes())
	return err
}

// hikeEntry is one hike as its notice shows it, to put into a calendar by hand.
func (s *publicHandlers) hikeEntry(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tell(r.Context(), hikeIn(r))
	if err != nil {
		return err
	}
	e := entryOf(t.hike, t.trail, t.plan)
	e.UID, e.URL = fmt.Sprintf("hike-%d@%s", t.hike.ID, s.notify.site()), s.BaseURL+hikePath(t.hike.ID)
	events, err := s.notify.numbered(r.Context(), e)
	if err != nil {
		return err
	}
	return sendCalendar(w, calendar.Calendar{Method: calendar.Publish, Events: events})
}

// placeEntry is the person's place as a file to put into a calendar by hand.
func (s *signupsHandlers) placeEntry(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	t, err := s.tellPlaceOf(r.Context(), place)
	if err != nil {
		return err
	}
	events, err := s.notify.numbered(r.Context(), s.notify.placeEvent(r.Context(), t, place))
	if err != nil {
		return err
	}
	return sendCalendar(w, calendar.Calendar{Method: calendar.Publish, Events: events})
}

func (s *signupsHandlers) tellPlaceOf(ctx context.Context, place hike.SignUp) (told, error) {
	h, err := s.Hikes.Hike(ctx, place.Hike)
	if err != nil {
		return told{}, err
	}
	return s.tell(ctx, h)
}

// placeCard is whom to ring on the day, with the meeting place, for the holder of a place
// alone. The number of on-call is the one that participants are given; leaders' own
// numbers are not.
func (s *signupsHandlers) placeCard(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	t, err := s.tellPlaceOf(r.Context(), place)
	if err != nil {
		return err
	}
	h := t.hike
	if !ringable(t, place) {
		return fmt.Errorf("card of hike %d: %w", h.ID, hike.ErrNotFound)
	}
	c := calendar.Card{UID: "urn:saltbush:hike-" + strconv.FormatInt(int64(h.ID), 10) + ":on-call", Name: h.OnCall.Name, Title: "On call: " + h.Title, Phone: h.OnCall.Phone,
		Note: "Meet " + format.Clock(h.Meet, t.zone()) + ", " + format.Day(h.Meet, t.zone()) + ". " + t.trail.Meeting}
	if house, err := s.Hikes.House(r.Context()); err == nil {
		c.Organisation = house.Organisation
	}
	if len(t.trail.Profile.Samples) > 0 {
		c.At = t.trail.Profile.SampleAt(0).At
	}
	w.Header().Set("Content-Type", "text/vcard; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="contact.vcf"`)
	_, err = w.Write(c.Bytes())
	return err
}

// ringable reports whether a person is given the number of on-call: they come, the hike
// takes place and somebody is named.
func ringable(t told, place hike.SignUp) bool {
	return place.State == hike.Confirmed && t.hike.State != hike.CalledOff && t.hike.OnCall.Name != "" && t.hike.OnCall.Phone != ""
}

// placeFiles are the addresses of a place's calendar entry and card; "" for what there is
// not.
func (s *signupsHandlers) placeFiles(r *http.Request, t told, place hike.SignUp) (entry, card string) {
	at := "/place/" + secretIn(r)
	if place.State == hike.Confirmed && t.hike.State != hike.CalledOff {
		entry = at + "/hike.ics"
	}
	if ringable(t, place) {
		card = at + "/contact.vcf"
	}
	return entry, card
}
