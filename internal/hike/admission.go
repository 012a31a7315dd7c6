package hike

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/signup"
	"saltbush/internal/text"
)

// AssignAdult finds the adult named for a minor on the hike and notes who that is. It must be a
// grown-up, with no more minors than the rules allow. Faults stand beside the field.
func AssignAdult(s *signup.SignUp, h Hike, others []signup.SignUp) error {
	v := fault.Invalid{}
	if !s.Minor || text.Empty(s.Adult) {
		return nil
	}
	adult, here := s.AdultAmong(signup.Adults(others, h.Staff))
	if !here {
		v.Add("adult", "Nobody of this name has asked for a place on this hike. "+
			"The adult signs up first; give the name as they did.")
		return v.Err()
	}
	s.AdultID = adult.ID
	if most := h.Rules().MinorsPerAdult; signup.MinorsOf(*s, others, h.Staff) >= most {
		v.Add("adult", fmt.Sprintf("%s already answers for %d children, and no adult answers for more. Name another adult.",
			s.Adult, most))
	}
	return v.Err()
}

// LastPromotion is the last time at which a place may still be offered to a person: what
// remains is enough to pack, to get the water and to drive.
func (h Hike) LastPromotion(s signup.SignUp) time.Time {
	drive := s.SelfReport.Drive
	if drive <= 0 {
		drive = signup.UsualDrive
	}
	last := h.Meet.Add(-drive - signup.Packing)
	if closes := h.SignUpsClose(); closes.Before(last) {
		return closes
	}
	return last
}

// Admit says what a new request becomes while so many places are taken and so many people
// wait: confirmed while places are free and nobody is waiting, else waiting. Who has a
// talk first is asked, and a free place is held for them. It is asked with the hike's row
// locked.
func (h Hike) Admit(s *signup.SignUp, now time.Time, taken, waiting int) error {
	if !h.TakesSignUps(now) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	free := taken < h.Places && waiting == 0
	switch {
	case s.Screening.Open():
		s.State = signup.Asked
		if free {
			s.HeldUntil = h.holdUntil(now)
		}
	case free:
		s.State = signup.Confirmed
	default:
		s.State = signup.Waiting
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
func (h Hike) Serve(now time.Time, list []signup.SignUp, acting string) (moved []signup.SignUp) {
	taken := 0
	for i := range list {
		if list[i].Lapse(now) {
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
		if s.State != signup.Waiting || taken >= h.Places {
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
func (h Hike) give(s *signup.SignUp, now time.Time, acting bool) bool {
	last := h.LastPromotion(*s)
	switch {
	case acting:
		s.State, s.HeldUntil = signup.Confirmed, time.Time{}
	case !now.Before(last):
		return false
	default:
		s.State, s.HeldUntil = signup.Offered, signup.Earlier(now.Add(h.Rules().Hold), last)
	}
	return true
}
