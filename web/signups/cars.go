package signups

import (
	"context"
	"errors"
	"net/http"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

func (s *Handlers) carsOf(ctx context.Context, t hike.Data) (notify.Cars, error) {
	book, err := s.Rides.RideBook(ctx, t.Hike.ID)
	return notify.NewCars(t, book), err
}

// ShowCars shows the cars of a hike to its staff.
func (s *Handlers) ShowCars(w http.ResponseWriter, r *http.Request) error {
	return s.renderCars(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderCars(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	c, err := s.carsOf(r.Context(), t)
	if err != nil {
		return err
	}
	return s.Render(w, r, status, view.Cars(s.carsPage(r, c, a)))
}

// SetShuttle stores where cars are parked at the end and how long the drive is.
func (s *Handlers) SetShuttle(w http.ResponseWriter, r *http.Request) error {
	f, id := kit.NewForm(r), kit.HikeIn(r).ID
	to := ride.Shuttle{By: kit.NameOf(r), At: s.Now()}
	ShuttleForm().Read(f, &to)
	invalid, err := f.Invalid(to.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCars(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), id, func(_ hike.Hike, _ []signup.SignUp, b *ride.Book) error {
		b.Shuttle = to
		return nil
	})
	return s.afterCars(w, r, id, paths.Cars(id), "Kept. The times are worked out anew.", err)
}

// AnnounceCars tells everybody their part for the first time.
func (s *Handlers) AnnounceCars(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	t, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return err
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(h hike.Hike, _ []signup.SignUp, b *ride.Book) error {
		if h.State != hike.Posted {
			return fault.Refusal("Cars are told while the hike is posted and has not left.")
		}
		if h.On(t).Profile.Shape == track.OneWay && b.Shuttle.Drive == 0 {
			return fault.Refusal("Give the minutes by road first: without them nobody knows when to be at the end.")
		}
		if b.Opened.IsZero() {
			b.Opened = s.Now()
		}
		return nil
	})
	return s.afterCars(w, r, h.ID, paths.Cars(h.ID), "Everybody is told their part, and again when it changes.", err)
}

// SetOwnCar stores the car of a member of the staff, and whether they share it.
func (s *Handlers) SetOwnCar(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	me, on := staffMember(r, h)
	if !on {
		return fault.Refusal("You are not on the staff of this hike.")
	}
	f := kit.NewForm(r)
	car, share := s.readCar(f)
	invalid, err := f.Invalid(ride.CheckRide(car, share))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCars(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(_ hike.Hike, _ []signup.SignUp, b *ride.Book) error {
		b.Cars[me.Person] = car
		recordConsent(b, me.Person, share, s.Now())
		return nil
	})
	return s.afterCars(w, r, h.ID, paths.Cars(h.ID)+"#own", "Kept.", err)
}

// recordConsent stores whether a person shares rides. A yes that was given before keeps its time.
func recordConsent(b *ride.Book, person string, share ride.Sharing, now time.Time) {
	kept := b.Sharing[person]
	kept.Say(share.Yes(), share.Town, now)
	b.Sharing[person] = kept
}

// staffMember returns the viewer as a member of the hike's staff.
func staffMember(r *http.Request, h hike.Hike) (team.Staff, bool) {
	a, ok := kit.ViewerOf(r).Account()
	for _, m := range h.Staff {
		if ok && m.Account == a.ID {
			return m, true
		}
	}
	return team.Staff{}, false
}

// SetPlaceCar stores the car of somebody with a place, and whether they share it.
func (s *Handlers) SetPlaceCar(w http.ResponseWriter, r *http.Request) error {
	place, f := kit.PlaceIn(r), kit.NewForm(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	if h.State != hike.Posted {
		return fault.Refusal("The cars of this hike are settled.")
	}
	car, share := s.readCar(f)
	if place.Minor {
		share = ride.Sharing{}
	}
	invalid, err := f.Invalid(ride.CheckRide(car, share))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderPlaceCars(w, r, h, kit.FormStateOf(r, invalid))
	}
	err = s.Rides.ChangeRides(r.Context(), h.ID, func(_ hike.Hike, _ []signup.SignUp, b *ride.Book) error {
		recordConsent(b, place.ID, share, s.Now())
		return nil
	})
	if err != nil {
		return err
	}
	return s.changePlace(w, r, func(p *signup.SignUp) error {
		car.Lot = p.Car.Lot
		p.Car = car
		return nil
	}, "Kept. The leader reads it, and what it changes for others is told to them.")
}

func (s *Handlers) renderPlaceCars(w http.ResponseWriter, r *http.Request, h hike.Hike, a ui.FormState) error {
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	p := s.placePage(r, t, kit.PlaceIn(r))
	c, err := s.carsOf(r.Context(), t)
	if err != nil {
		return err
	}
	carsOnPlace(c, &p, r, kit.PlaceIn(r), a)
	return s.Render(w, r, http.StatusUnprocessableEntity, view.Place(p))
}

// afterCars tells those whose part has changed, and shows the page again.
func (s *Handlers) afterCars(w http.ResponseWriter, r *http.Request, id ref.Hike, to, said string, err error) error {
	if err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), id)
	return s.SeeOther(w, r, to, said)
}

// readCar reads a car and whether its driver shares rides.
func (s *Handlers) readCar(f kit.Form) (signup.Car, ride.Sharing) {
	var a CarAnswers
	CarForm().Read(f, &a)
	return a.Car, a.Ride.sharing(s.Now())
}

// storeSharing stores what the form for a place says of sharing. The place is stored by then. An
// error is logged only: without an answer nobody is told of the person.
func (s *Handlers) storeSharing(ctx context.Context, p signup.SignUp, share ride.Sharing) {
	if !share.Yes() || p.Minor {
		return
	}
	err := s.Rides.ChangeRides(ctx, p.Hike, func(_ hike.Hike, _ []signup.SignUp, b *ride.Book) error {
		recordConsent(b, p.ID, share, s.Now())
		return nil
	})
	if err != nil && !errors.Is(err, context.Canceled) {
		s.Log.Error("keep who shares a car", "hike", p.Hike, "err", err)
	}
}

// carsVisibility returns what the viewer may see of the people of a hike on the page of its cars.
func (s *Handlers) carsVisibility(r *http.Request, h hike.Hike) privacy.Visibility {
	visible := s.StaffVisibility(r, h)
	if s.May(r, account.ManageHike) {
		return visible
	}
	return privacy.Visibility{}
}
