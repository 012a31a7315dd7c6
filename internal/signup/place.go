package signup

import (
	"time"

	"saltbush/internal/fault"
)

// House judgement: before a walk one needs time to fill bottles, pack and eat, beside the
// drive.
const Packing = 2 * time.Hour

// House judgement: an hour's drive for whoever did not say.
const UsualDrive = time.Hour

// HoldsPlace reports whether a place of the hike is taken by this person.
func (s SignUp) HoldsPlace(now time.Time) bool {
	switch s.State {
	case Confirmed:
		return true
	case Asked:
		return now.Before(s.HeldUntil)
	case Offered:
		return s.HeldUntil.IsZero() || now.Before(s.HeldUntil)
	}
	return false
}

// CountPlaces counts the places that are taken and the people who wait.
func CountPlaces(list []SignUp, now time.Time) (taken, waiting int) {
	for _, s := range list {
		if s.HoldsPlace(now) {
			taken++
		}
		if s.State == Waiting {
			waiting++
		}
	}
	return taken, waiting
}

func Earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// Lapse ends an offer that was not taken in time.
func (s *SignUp) Lapse(now time.Time) bool {
	if s.State != Offered || s.HoldsPlace(now) {
		return false
	}
	s.State, s.HeldUntil = Withdrawn, time.Time{}
	s.Because = "The place that was kept for you was not taken in time, and went to the next."
	return true
}

// Take accepts an offered place while it is kept.
func (s *SignUp) Take(now time.Time) error {
	if s.State != Offered || !s.HoldsPlace(now) {
		return fault.Refusal("No place is kept for you any more. You can ask again.")
	}
	s.State, s.HeldUntil = Confirmed, time.Time{}
	return nil
}
