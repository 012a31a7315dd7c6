package staffing

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Book is everything that staffing needs to know about the hikes of some days.
type Book struct {
	People []team.Qualification
	Kinds  []team.CertificateKind
	Roads  trail.Roads
	Listed []hike.Listed
	Places map[ref.Hike][]signup.SignUp
}

// HikeLister lists hikes. Its method is that of hike.Store.
type HikeLister interface {
	Hikes(ctx context.Context, from, to time.Time) ([]hike.Listed, error)
}

// BookStore is what OpenBook reads of the staff. Its methods are those of Store.
type BookStore interface {
	CertificateKinds(ctx context.Context) ([]team.CertificateKind, error)
	Qualifications(ctx context.Context) ([]team.Qualification, error)
	Roads(ctx context.Context) (trail.Roads, error)
	PlacesOf(ctx context.Context, hikes []ref.Hike) (map[ref.Hike][]signup.SignUp, error)
}

// OpenBook loads the book of the hikes that start within [from, to).
func OpenBook(ctx context.Context, hikes HikeLister, staff BookStore, from, to time.Time) (b Book, err error) {
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
	ids := make([]ref.Hike, len(b.Listed))
	for i, l := range b.Listed {
		ids[i] = l.Hike.ID
	}
	b.Places, err = staff.PlacesOf(ctx, ids)
	return b, err
}

// Crew returns a hike of the book with what is known about its staff.
func (b Book) Crew(l hike.Listed) Crew {
	c := Crew{Hike: l.Hike, Trail: l.Trail, Plan: l.Plan, Kinds: b.Kinds, Places: b.Places[l.Hike.ID],
		People: map[ref.Account]team.Qualification{}}
	for _, q := range b.People {
		c.People[q.Account] = q
	}
	return c
}

// CrewOf finds a hike in the book.
func (b Book) CrewOf(id ref.Hike) (Crew, error) {
	for _, l := range b.Listed {
		if l.Hike.ID == id {
			return b.Crew(l), nil
		}
	}
	return Crew{}, fmt.Errorf("staff of hike %d: %w", id, fault.ErrNotFound)
}

// Duties lists who does what on every hike of the book.
func (b Book) Duties() (list []Duty) {
	for _, l := range b.Listed {
		list = append(list, DutiesOf(l.Hike, l.Trail, l.Plan, b.People)...)
	}
	return list
}

// Gaps lists in order what is missing in the days ahead: gaps and clashes of hikes that have
// not started, and certificates that end.
func (b Book) Gaps(now time.Time, today unit.Date) []Gap {
	var list []Gap
	for _, l := range b.Listed {
		if (l.Hike.State == hike.Draft || l.Hike.State == hike.Posted) && l.Hike.Start.After(now) {
			list = append(list, b.Crew(l).GapsOf(unit.DateOf(now.In(l.Hike.Start.Location())))...)
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

// Reminders lists every reminder about certificates that is due.
func (b Book) Reminders(now time.Time, today unit.Date) []Reminder {
	list := CertificateReminders(b.People, today)
	for _, l := range b.Listed {
		if l.Hike.State == hike.Draft || l.Hike.State == hike.Posted {
			list = append(list, b.Crew(l).Reminders(now)...)
		}
	}
	return list
}
