package watch

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// Recipient is somebody to whom a step goes.
type Recipient struct {
	Owner              Owner
	Account            ref.Account // zero for somebody without an account
	Name, Email, Phone string
}

// Key identifies a recipient in whatever role: by the mail address, else the phone number,
// else the name.
func (r Recipient) Key() string {
	return cmp.Or(strings.ToLower(r.Email), text.Digits(r.Phone), strings.ToLower(strings.TrimSpace(r.Name)))
}

// Words describes the recipient for the log.
func (r Recipient) Words() string {
	address := cmp.Or(text.Line(r.Email), text.Line(r.Phone), "no address")
	return cmp.Or(text.Line(r.Name), string(r.Owner)) + ", " + address
}

// Member is an account with what is needed to wake its owner.
type Member struct {
	ID                 ref.Account
	Name, Email, Phone string
	Coordinator        bool
	Safety             bool // a safety officer
}

// Book lists everybody who can sign in. Phones means that text messages can be sent.
type Book struct {
	Members []Member
	Phones  bool
}

// For lists the recipients of a step at a moment, each once, and everybody who has taken the alarm
// and can be reached. Our judgment: if none of them can be reached the coordinators are told at
// once, because waiting for an answer that cannot come helps nobody.
func (b Book) For(c Case, r Rung, now time.Time) []Recipient {
	if slices.Contains(r.Who, Woken) {
		woken := c.WokenBy(r)
		everybody := b.Recipients(c.Hike, []Owner{OnCall, Deputy, Coordinator, Safety}, c.Takers(now))
		return slices.DeleteFunc(everybody, func(x Recipient) bool { return !slices.Contains(woken, x.Words()) })
	}
	return b.Recipients(c.Hike, r.Who, c.Takers(now))
}

// Recipients lists the people of some roles on a hike, each once, those who took the alarm first.
func (b Book) Recipients(h hike.Hike, who []Owner, took []Logged) []Recipient {
	var list []Recipient
	for _, l := range took {
		if r := b.contact(Taker, contactNamed(h, l.By)); b.Reaches(r) {
			list = add(list, r)
		}
	}
	for _, o := range who {
		switch o {
		case OnCall:
			list = add(list, b.contact(o, h.OnCall))
		case Deputy:
			list = add(list, b.contact(o, h.Deputy))
		case Coordinator:
			list = add(list, b.coordinators()...)
		case Safety:
			list = add(list, b.members(Safety, func(m Member) bool { return m.Safety })...)
		}
	}
	if slices.ContainsFunc(list, b.Reaches) {
		return list
	}
	return add(list, b.coordinators()...)
}

// contactNamed returns the contact of somebody who took the alarm: the hike's contact of
// that name, or the name alone.
func contactNamed(h hike.Hike, name string) team.Contact {
	for _, c := range []team.Contact{h.OnCall, h.Deputy} {
		if text.Same(c.Name, name) {
			return c
		}
	}
	return team.Contact{Name: name}
}

// Reaches reports whether a message can be sent to the recipient at all.
func (b Book) Reaches(r Recipient) bool {
	return r.Email != "" || b.Phones && text.Digits(r.Phone) != ""
}

// contact returns a hike's contact with their account and its address, if they have one.
func (b Book) contact(o Owner, c team.Contact) Recipient {
	r := Recipient{Owner: o, Name: c.Name, Email: c.Email, Phone: c.Phone}
	if m, ok := b.account(c); ok {
		r.Account, r.Email = m.ID, cmp.Or(c.Email, m.Email)
	}
	return r
}

// Watches reports whether an account is that of the on-call contact or the deputy of a hike. With
// coordinators and safety officers they may take its alarms.
func (m Member) Watches(h hike.Hike) bool {
	alone := Book{Members: []Member{m}}
	for _, c := range []team.Contact{h.OnCall, h.Deputy} {
		if found, ok := alone.account(c); ok && found.ID == m.ID {
			return true
		}
	}
	return m.Coordinator || m.Safety
}

// account finds the account of a contact: the one with the contact's address or, if the
// hike gives no address, the only one with the same number or else the same name.
func (b Book) account(c team.Contact) (m Member, ok bool) {
	if c.Email != "" {
		return b.only(func(m Member) bool { return strings.EqualFold(m.Email, c.Email) })
	}
	if number := text.Digits(c.Phone); number != "" {
		if m, ok = b.only(func(m Member) bool { return text.Digits(m.Phone) == number }); ok {
			return m, true
		}
	}
	return b.only(func(m Member) bool { return text.Same(m.Name, c.Name) })
}

// only returns the member that matches, if there is exactly one.
func (b Book) only(matches func(Member) bool) (found Member, one bool) {
	n := 0
	for _, m := range b.Members {
		if matches(m) {
			found, n = m, n+1
		}
	}
	return found, n == 1
}

func (b Book) coordinators() []Recipient {
	return b.members(Coordinator, func(m Member) bool { return m.Coordinator })
}

func (b Book) members(as Owner, matches func(Member) bool) []Recipient {
	var list []Recipient
	for _, m := range b.Members {
		if matches(m) {
			list = append(list, Recipient{Owner: as, Account: m.ID, Name: m.Name, Email: m.Email, Phone: m.Phone})
		}
	}
	return list
}

// add appends the recipients that are not empty and not on the list yet.
func add(list []Recipient, more ...Recipient) []Recipient {
	for _, r := range more {
		listed := slices.ContainsFunc(list, func(x Recipient) bool { return x.Key() == r.Key() })
		if r.Key() != "" && !listed {
			list = append(list, r)
		}
	}
	return list
}

// Firing is one step that is being carried out.
type Firing struct {
	Case
	Rung  Rung
	Round int
	Now   time.Time
	// LateBy is how long after its time the step fires.
	LateBy time.Duration
}
