package hike

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/signup"
	"saltbush/internal/text"
)

// AssignAdult looks up the adult named for a minor among the people on the hike and sets
// AdultID. The adult must be a grown-up who answers for fewer minors than the rules allow.
// Faults are reported for the field "adult".
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
		v.Add("adult", fmt.Sprintf("%s already answers for %d children, and no adult answers for more. "+
			"Name another adult.", s.Adult, most))
	}
	return v.Err()
}

// LastPromotion returns until when a place may still be offered to a person. After it they have
// no time to pack, get water and drive.
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

// Admit decides what a new request becomes, given how many places are taken and how many people
// wait. It is confirmed while places are free and nobody waits, and otherwise waits. Somebody
// who has a talk first is asked, and a free place is held for them. The hike's row must be
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

// Serve gives free places to the people who wait, in the order of asking, and returns the
// sign-ups it changed. The list must be in that order. Offers that nobody took in time lapse.
// People who have a talk first are not served. The acting person just said that they come, so
// they are confirmed. Others are offered the place while they still have time to get ready.
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

// give gives a free place to somebody who waits.
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
