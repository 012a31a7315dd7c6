package hike

import (
	"context"
	"fmt"
	"slices"
	"time"
)

// Book is everything that staffing looks at for the hikes of some days.
type Book struct {
	People []Qualification
	Kinds  []CertificateKind
	Roads  Roads
	Listed []Listed
	Places map[HikeID][]SignUp
}

// OpenBook loads the book of the hikes that start within [from, to).
func OpenBook(ctx context.Context, hikes Store, staff StaffStore, from, to time.Time) (b Book, err error) {
	if b.People, err = staff.Qualifications(ctx); err != nil {
		return b, err
	}
	if b.Kinds, err = staff.CertificateKinds(ctx); err != nil {
		return b, err
	}
	if b.Roads, err = staff.Roads(ctx); err != nil {
		return b, err
	}
	if b.Listed, err = hikes.Hikes(ctx, from, to); err != nil {
		return b, err
	}
	ids := make([]HikeID, len(b.Listed))
	for i, l := range b.Listed {
		ids[i] = l.Hike.ID
	}
	b.Places, err = staff.PlacesOf(ctx, ids)
	return b, err
}

// Crew is a hike of the book with what is known of its staff.
func (b Book) Crew(l Listed) Crew {
	c := Crew{Hike: l.Hike, Trail: l.Trail, Plan: l.Plan, Kinds: b.Kinds, Places: b.Places[l.Hike.ID], People: map[int64]Qualification{}}
	for _, q := range b.People {
		c.People[q.Account] = q
	}
	return c
}

// CrewOf finds the hike in the book.
func (b Book) CrewOf(id HikeID) (Crew, error) {
	for _, l := range b.Listed {
		if l.Hike.ID == id {
			return b.Crew(l), nil
		}
	}
	return Crew{}, fmt.Errorf("staff of hike %d: %w", id, ErrNotFound)
}

// Duties lists who does what on every hike of the book.
func (b Book) Duties() (list []Duty) {
	for _, l := range b.Listed {
		list = append(list, DutiesOf(l.Hike, l.Trail, l.Plan, b.People)...)
	}
	return list
}

// Gaps lists what is missing in the days ahead, in order: hikes that have not begun, clashes
// of those, and papers that end.
func (b Book) Gaps(now time.Time, today Date) []Gap {
	var list []Gap
	for _, l := range b.Listed {
		if (l.Hike.State == Draft || l.Hike.State == Posted) && l.Hike.Start.After(now) {
			list = append(list, b.Crew(l).GapsOf(DateOf(now.In(l.Hike.Start.Location())))...)
		}
	}
	for _, c := range Clashes(b.Duties(), b.Roads.Between) {
		if c.Then.Meet.After(now) {
			list = append(list, ClashGap(c))
		}
	}
	list = append(list, CertificateGaps(b.People, today)...)
	SortGaps(list)
	return list
}

// Reminders lists every warning about papers that is due.
func (b Book) Reminders(now time.Time, today Date) []Reminder {
	list := CertificateReminders(b.People, today)
	for _, l := range b.Listed {
		if l.Hike.State == Draft || l.Hike.State == Posted {
			list = append(list, b.Crew(l).Reminders(now)...)
		}
	}
	return list
}

// Ask puts somebody on the staff as asked. A leader or sweep who is only asked makes way;
// one who has accepted is taken off first, by hand.
func (h *Hike) Ask(s Staff) error {
	if err := h.answerable(); err != nil {
		return err
	}
	if !slices.Contains(Roles(), s.Role) {
		return Invalid{"role": "Choose a part."}
	}
	var kept []Staff
	for _, b := range h.Staff {
		switch {
		case b.Account == s.Account:
			return Refusal(fmt.Sprintf("%s is on this hike already, as %s.", b.Name, b.Role))
		case b.Role == s.Role && s.Role != Assistant && b.Accepted():
			return Refusal(fmt.Sprintf("%s has accepted as %s. Take them off first, and tell them.", b.Name, b.Role))
		case b.Role == s.Role && s.Role != Assistant:
			continue
		}
		kept = append(kept, b)
	}
	s.Answer, s.Answered = AnswerAsked, time.Time{}
	h.Staff = append(kept, s)
	return nil
}

// TakeOff takes somebody off the staff. Telling them is a person's business.
func (h *Hike) TakeOff(person string) error {
	if err := h.answerable(); err != nil {
		return err
	}
	h.Staff = slices.DeleteFunc(slices.Clone(h.Staff), func(s Staff) bool { return s.Person == person })
	return nil
}

// AcceptOnCall records that on-call has said yes.
func (h *Hike) AcceptOnCall(now time.Time) error {
	if err := h.answerable(); err != nil {
		return err
	}
	if h.OnCall == (Contact{}) {
		return Refusal("Nobody is named as on-call.")
	}
	if h.OnCallAccepted.IsZero() {
		h.OnCallAccepted = now
	}
	return nil
}
