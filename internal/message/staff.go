package message

import (
	"errors"
	"strings"
	"time"
)

// StaffLetter holds the facts of a mail to a member of the staff, as display text, with times
// in the trailhead's zone.
type StaffLetter struct {
	Ref   string // required: the same for the same request
	To    string
	Name  string // required
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organization that the mail is from
	Role  string // required: "leader", "on-call"

	Meet  string
	Trail string
	By    string // who asks
	Link  string // answers the request, without signing in
	Until time.Time
}

// Ask asks somebody to take a role on a hike.
func Ask(p StaffLetter) (Mail, error) {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	l.para(strings.TrimSpace(p.By +
		" asks whether you take this part in a hike. Until you say yes, nobody counts on you."))
	l.fact("Part", p.Role)
	l.fact("Hike", p.Hike)
	l.fact("Trail", p.Trail)
	l.fact("Day", p.Day)
	l.fact("Meet", p.Meet)
	l.gap()
	l.para("Say yes or no (this link is yours alone and needs no sign-in):")
	l.para(p.Link)
	l.para("A no is a good answer: say why in a few words, and we ask somebody else.")
	return p.mail("asked", "Will you be "+p.Role+"? "+p.Hike+", "+p.Day, l)
}

// Declined tells whoever staffs a hike that somebody declined.
func Declined(p StaffLetter, who, because string) (Mail, error) {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	l.para(who + " cannot be " + p.Role + " of " + p.Hike + " on " + p.Day + ": " + sentence(because))
	l.para("Who else is free and qualified, the fairest first:")
	l.para(p.Link)
	return p.mail("declined", "No "+p.Role+" yet: "+p.Hike+", "+p.Day, l)
}

// Certificate holds the facts of a warning that a certificate expires, as display text.
type Certificate struct {
	Ref   string // required: the same for the same warning to the same person
	To    string
	Name  string // required: the reader
	Group string // required: the organization that the mail is from
	Of    string // required: "wilderness first aid of Ash Moreno"
	Says  string // the sentence that says when it expires, and what that means
	Link  string // the page of whoever can act on it
}

// PaperEnds warns that a certificate expires, or will have expired on the day of a hike.
func PaperEnds(c Certificate) (Mail, error) {
	l := &letter{}
	l.para("Hello " + c.Name + ",")
	l.para(c.Says)
	l.para("A paper counts through its last day, judged on the day of the hike. Renew it, or let somebody else take " +
		"the part; the hike can stay.")
	l.para(c.Link)
	m := Mail{To: c.To, Subject: "A certificate ends: " + c.Of, Text: l.endWithCautions(c.Group),
		Key: "paper/" + c.Ref, State: Queued}
	return m, errors.Join(checkOptionalLink(c.Link), m.Check(), checkLines([][2]string{
		{"reference", c.Ref}, {"name", c.Name}, {"group", c.Group}, {"certificate", c.Of},
	}))
}

func (p StaffLetter) mail(kind, subject string, l *letter) (Mail, error) {
	m := Mail{To: p.To, Subject: subject, Text: l.endWithCautions(p.Group), Key: kind + "/" + p.Ref,
		UselessAt: p.Until, State: Queued}
	return m, errors.Join(p.check(), m.Check())
}

func (p StaffLetter) check() error {
	return errors.Join(checkOptionalLink(p.Link), checkLines([][2]string{
		{"reference", p.Ref}, {"name", p.Name}, {"hike", p.Hike}, {"day", p.Day}, {"group", p.Group}, {"part", p.Role},
	}))
}
