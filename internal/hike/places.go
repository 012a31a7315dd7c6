package hike

import "time"

// House judgement: before a walk one needs time to fill bottles, pack and eat, beside the
// drive.
const packing = 2 * time.Hour

// House judgement: an hour's drive for whoever did not say.
const usualDrive = time.Hour

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

// LastPromotion is the last time at which a place may still be offered to a person: what
// remains is enough to pack, to get the water and to drive.
func (h Hike) LastPromotion(s SignUp) time.Time {
	drive := s.Told.Drive
	if drive <= 0 {
		drive = usualDrive
	}
	last := h.Meet.Add(-drive - packing)
	if closes := h.SignUpsClose(); closes.Before(last) {
		return closes
	}
	return last
}

// Admit says what a new request becomes while so many places are taken and so many people
// wait: confirmed while places are free and nobody is waiting, else waiting. Who has a
// talk first is asked, and a free place is held for them. It is asked with the hike's row
// locked.
func (h Hike) Admit(s *SignUp, now time.Time, taken, waiting int) error {
	if !h.TakesSignUps(now) {
		return Refusal("This hike no longer takes sign-ups.")
	}
	free := taken < h.Places && waiting == 0
	switch {
	case s.Screening.Open():
		s.State = Asked
		if free {
			s.HeldUntil = h.holdUntil(now)
		}
	case free:
		s.State = Confirmed
	default:
		s.State = Waiting
	}
	return nil
}

func (h Hike) holdUntil(now time.Time) time.Time {
	until := now.Add(h.Rules().Hold)
	if closes := h.SignUpsClose(); closes.Before(until) {
		return closes
	}
	return until
}

// Serve gives free places to those who wait, the first who asked first, and returns what
// it moved. The list is in the order of asking. An offer that nobody took by its time
// lapses. Only who waits is served: who is asked has a talk first. The acting person has
// just said that they come, and is confirmed; others are offered the place, while there is
// still time for them to get ready.
func (h Hike) Serve(now time.Time, list []SignUp, acting string) (moved []SignUp) {
	taken := 0
	for i := range list {
		if list[i].lapse(now) {
			moved = append(moved, list[i])
		}
		if list[i].HoldsPlace(now) {
			taken++
		}
	}
	if !h.TakesSignUps(now) {
		return moved
	}
	for i := range list {
		s := &list[i]
		if s.State != Waiting || taken >= h.Places {
			continue
		}
		if h.give(s, now, s.ID == acting) {
			moved = append(moved, *s)
			taken++
		}
	}
	return moved
}

// give hands a free place to one who waits.
func (h Hike) give(s *SignUp, now time.Time, acting bool) bool {
	last := h.LastPromotion(*s)
	switch {
	case acting:
		s.State, s.HeldUntil = Confirmed, time.Time{}
	case !now.Before(last):
		return false
	default:
		s.State, s.HeldUntil = Offered, earlier(now.Add(h.Rules().Hold), last)
	}
	return true
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// lapse ends an offer that was not taken in time.
func (s *SignUp) lapse(now time.Time) bool {
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
		return Refusal("No place is kept for you any more. You can ask again.")
	}
	s.State, s.HeldUntil = Confirmed, time.Time{}
	return nil
}
