package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/web/view"
)

func carsPath(id hike.HikeID) string { return hikePath(id) + "/cars" }

// cars is everything that pages about the cars of one hike are made of.
type cars struct {
	told
	book   hike.RideBook
	people []hike.Traveller
	by     map[string]hike.Traveller
	phones map[string]string
	rides  hike.Rides
}

func (s *signupsHandlers) carsOf(ctx context.Context, t told) (cars, error) {
	book, err := s.Rides.RideBook(ctx, t.hike.ID)
	return newCars(t, book), err
}

// newCars plans the cars of a hike from its sign-ups and its book.
func newCars(t told, book hike.RideBook) cars {
	c := cars{told: t, book: book, people: hike.Travellers(t.hike, t.signUps, book), by: map[string]hike.Traveller{}, phones: map[string]string{}}
	c.rides = hike.PlanRides(t.trail.Profile.Shape, c.people)
	for _, p := range c.people {
		c.by[p.ID] = p
	}
	for _, m := range t.hike.Staff {
		c.phones[m.Person] = m.Phone
	}
	for _, p := range t.signUps {
		c.phones[p.ID] = p.Mobile
	}
	return c
}

func (c cars) endLot() string { return c.book.EndLotOf(c.trail) }

func (s *signupsHandlers) showCars(w http.ResponseWriter, r *http.Request) error {
	return s.renderCars(w, r, http.StatusOK, view.Answers{})
}

func (s *signupsHandlers) renderCars(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	t, err := s.tell(r.Context(), hikeIn(r))
	if err != nil {
		return err
	}
	c, err := s.carsOf(r.Context(), t)
	if err != nil {
		return err
	}
	return s.render(w, r, status, view.Cars(s.carsPage(r, c, a)))
}

// setShuttle keeps where the cars stand at the end and how long the drive is.
func (s *signupsHandlers) setShuttle(w http.ResponseWriter, r *http.Request) error {
	f, id := newForm(r), hikeIn(r).ID
	to := hike.Shuttle{EndLot: f.text("end_lot"), Drive: time.Duration(f.whole("drive_minutes", "Give whole minutes.")) * time.Minute,
		By: nameOf(r), At: s.Now()}
	invalid, err := f.invalid(to.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCars(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), id, func(_ hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		b.Shuttle = to
		return nil
	})
	return s.afterCars(w, r, id, carsPath(id), "Kept. The times are worked out anew.", err)
}

// openCars tells everybody their part for the first time.
func (s *signupsHandlers) openCars(w http.ResponseWriter, r *http.Request) error {
	h := hikeIn(r)
	t, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return err
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(h hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		if h.State != hike.Posted {
			return hike.Refusal("Cars are told while the hike is posted and has not left.")
		}
		if t.Profile.Shape == track.OneWay && b.Shuttle.Drive == 0 {
			return hike.Refusal("Give the minutes by road first: without them nobody knows when to be at the end.")
		}
		if b.Opened.IsZero() {
			b.Opened = s.Now()
		}
		return nil
	})
	return s.afterCars(w, r, h.ID, carsPath(h.ID), "Everybody is told their part, and again when it changes.", err)
}

// setOwnCar keeps the car of somebody on the staff, and their word on being told.
func (s *signupsHandlers) setOwnCar(w http.ResponseWriter, r *http.Request) error {
	h := hikeIn(r)
	me, on := staffMember(r, h)
	if !on {
		return hike.Refusal("You are not on the staff of this hike.")
	}
	f := newForm(r)
	car, share := f.car(), f.sharing(s.Now())
	invalid, err := f.invalid(hike.CheckRide(car, share))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCars(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(_ hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		b.Cars[me.Person] = car
		says(b, me.Person, share, s.Now())
		return nil
	})
	return s.afterCars(w, r, h.ID, carsPath(h.ID)+"#own", "Kept.", err)
}

// says keeps a person's word on being told, without moving the time of one that stands.
func says(b *hike.RideBook, person string, share hike.Sharing, now time.Time) {
	kept := b.Sharing[person]
	kept.Say(share.Yes(), share.Town, now)
	b.Sharing[person] = kept
}

// staffMember is who asks, as one of the hike's staff.
func staffMember(r *http.Request, h hike.Hike) (hike.Staff, bool) {
	a, ok := viewerOf(r).Account()
	for _, m := range h.Staff {
		if ok && m.Account == int64(a.ID) {
			return m, true
		}
	}
	return hike.Staff{}, false
}

// setPlaceCar keeps what somebody with a place says of their car and of sharing it.
func (s *signupsHandlers) setPlaceCar(w http.ResponseWriter, r *http.Request) error {
	place, f := placeIn(r), newForm(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	if h.State != hike.Posted {
		return hike.Refusal("The cars of this hike are settled.")
	}
	car, share := f.car(), f.sharing(s.Now())
	if place.Minor {
		share = hike.Sharing{}
	}
	invalid, err := f.invalid(hike.CheckRide(car, share))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.placeCarsAgain(w, r, h, answers(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(_ hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		says(b, place.ID, share, s.Now())
		return nil
	})
	if err != nil {
		return err
	}
	return s.changePlace(w, r, func(p *hike.SignUp) error {
		car.Lot = p.Car.Lot
		p.Car = car
		return nil
	}, "Kept. The leader reads it, and what it changes for others is told to them.")
}

func (s *signupsHandlers) placeCarsAgain(w http.ResponseWriter, r *http.Request, h hike.Hike, a view.Answers) error {
	t, err := s.tell(r.Context(), h)
	if err != nil {
		return err
	}
	p := s.placePage(r, t, placeIn(r))
	c, err := s.carsOf(r.Context(), t)
	if err != nil {
		return err
	}
	c.onPlace(&p, r, placeIn(r), a)
	return s.render(w, r, http.StatusUnprocessableEntity, view.Place(p))
}

// afterCars tells those whose part has changed and shows the page again.
func (s *signupsHandlers) afterCars(w http.ResponseWriter, r *http.Request, id hike.HikeID, to, said string, err error) error {
	if err != nil {
		return err
	}
	s.notify.tellCars(r.Context(), id)
	return s.seeOther(w, r, to, said)
}

// sharing reads whether those in the same car may know each other.
func (f form) sharing(now time.Time) hike.Sharing {
	s := hike.Sharing{}
	s.Say(f.checked("ride_share"), f.text("ride_town"), now)
	return s
}

// keepSharing keeps what was said on the form for a place. The place stands by then: where
// this fails nothing is told of the person, which is what they have without it.
func (s *signupsHandlers) keepSharing(ctx context.Context, p hike.SignUp, share hike.Sharing) {
	if !share.Yes() || p.Minor {
		return
	}
	err := s.Rides.ChangeRides(ctx, p.Hike, func(_ hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		says(b, p.ID, share, s.Now())
		return nil
	})
	if err != nil && !errors.Is(err, context.Canceled) {
		s.Log.Error("keep who shares a car", "hike", p.Hike, "err", err)
	}
}

// seesCars is what the viewer may see of the people of a hike on the page of its cars.
func (s *signupsHandlers) seesCars(r *http.Request, h hike.Hike) hike.Sight {
	sight := s.staffSight(r, h)
	if s.may(r, account.ManageHike) {
		return sight
	}
	return hike.Sight{}
}
