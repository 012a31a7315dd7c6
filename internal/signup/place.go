package signup

import (
	"time"

	"saltbush/internal/fault"
)

// Packing is the time to fill bottles, pack and eat before the drive. Our judgment.
const Packing = 2 * time.Hour

// UsualDrive is the drive of people who did not say how long theirs is. Our judgment.
const UsualDrive = time.Hour

// HoldsPlace reports whether the person takes up one of the hike's places. It is the only rule
// for that; the store counts places with it.
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

// CountPlaces counts the places taken and the people waiting.
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

// Earlier returns the earlier of two times.
func Earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// Lapse withdraws an offer that was not taken in time, and reports whether it did.
func (s *SignUp) Lapse(now time.Time) bool {
	if s.State != Offered || s.HoldsPlace(now) {
		return false
	}
	s.State, s.HeldUntil = Withdrawn, time.Time{}
	s.Because = "The place that was kept for you was not taken in time, and went to the next."
	return true
}

// Take accepts an offered place while it is held.
func (s *SignUp) Take(now time.Time) error {
	if s.State != Offered || !s.HoldsPlace(now) {
		return fault.Refusal("No place is kept for you any more. You can ask again.")
	}
	s.State, s.HeldUntil = Confirmed, time.Time{}
	return nil
}
