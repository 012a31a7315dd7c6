package signups

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"saltbush/internal/calendar"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/web/kit"
)

// DownloadPlaceEvent answers with the person's place as a calendar file.
func (s *Handlers) DownloadPlaceEvent(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	t, err := s.loadPlaceHike(r.Context(), place)
	if err != nil {
		return err
	}
	events, err := s.notify.Number(r.Context(), s.notify.PlaceEvent(r.Context(), t, place))
	if err != nil {
		return err
	}
	return kit.SendCalendar(w, calendar.Calendar{Method: calendar.Publish, Events: events})
}

func (s *Handlers) loadPlaceHike(ctx context.Context, place signup.SignUp) (hike.Data, error) {
	h, err := s.Hikes.Hike(ctx, place.Hike)
	if err != nil {
		return hike.Data{}, err
	}
	return s.LoadHikeData(ctx, h)
}

// DownloadContactCard answers with a contact to telephone on the day and the meeting place. The
// number is that of on-call, which participants are given; leaders' own numbers are not.
func (s *Handlers) DownloadContactCard(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	t, err := s.loadPlaceHike(r.Context(), place)
	if err != nil {
		return err
	}
	h := t.Hike
	if !onCallShown(t, place) {
		return fmt.Errorf("card of hike %d: %w", h.ID, fault.ErrNotFound)
	}
	c := calendar.Card{UID: "urn:saltbush:hike-" + strconv.FormatInt(int64(h.ID), 10) + ":on-call", Name: h.OnCall.Name,
		Title: "On call: " + h.Title, Phone: h.OnCall.Phone,
		Note: "Meet " + format.Clock(h.Meet, t.Zone()) + ", " + format.Day(h.Meet, t.Zone()) + ". " + t.Trail.Meeting}
	if house, err := s.Hikes.House(r.Context()); err == nil {
		c.Organization = house.Organisation
	}
	if len(t.Trail.Profile.Samples) > 0 {
		c.At = t.Trail.Profile.SampleAt(0).At
	}
	w.Header().Set("Content-Type", "text/vcard; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="contact.vcf"`)
	_, err = w.Write(c.Bytes())
	return err
}

// onCallShown reports whether a person is given the number of on-call: they have a place, the hike
// takes place, and somebody is named.
func onCallShown(t hike.Data, place signup.SignUp) bool {
	return place.State == signup.Confirmed && t.Hike.State != hike.CalledOff && t.Hike.OnCall.Name != "" &&
		t.Hike.OnCall.Phone != ""
}

// placeFiles returns the addresses of a place's calendar entry and contact card, "" where there is
// none.
func (s *Handlers) placeFiles(r *http.Request, t hike.Data, place signup.SignUp) (entry, card string) {
	at := "/place/" + kit.SecretIn(r)
	if place.State == signup.Confirmed && t.Hike.State != hike.CalledOff {
		entry = at + "/hike.ics"
	}
	if onCallShown(t, place) {
		card = at + "/contact.vcf"
	}
	return entry, card
}
