package message

import "strings"

// Decision holds the facts of a mail about a decision on a hike, as display text.
type Decision struct {
	Edition string // required: differs between decisions about a hike
	What    string // required: "It goes, earlier: meet at 05:30."
	Because string // required if the hike is called off
	Again   bool   // this is the reminder to somebody who has not confirmed reading it
	Consent bool   // the place is held until the person agrees
	Ends    bool   // the hike is called off
}

// Decided tells a person what was decided. They confirm reading it with p.Link, which is
// required.
func Decided(p Place, d Decision) (Mail, error) {
	if err := d.check(p); err != nil {
		return Mail{}, err
	}
	l := p.open()
	if d.Again {
		l.para("You have not told us yet that you have read this, so here it is once more. After this we telephone.")
	}
	l.para(sentence(d.What))
	if d.Because != "" {
		l.para("Why: " + sentence(d.Because))
	}
	p.facts(l)
	if d.Consent {
		l.para("The other trail is harder. Your place waits until you agree; give it back if it is not for you. Both " +
			"with this link, which is yours alone:")
	} else {
		l.para("Please say that you have read this, with this link, which is yours alone and needs no sign-in:")
	}
	l.para(p.Link)
	l.para(contact(p))
	return p.mail(d.kind(), d.subject(p), l)
}

func (d Decision) check(p Place) error {
	if err := checkLine("edition", d.Edition, maxKey); err != nil {
		return err
	}
	switch {
	case strings.TrimSpace(d.What) == "":
		return &FieldError{"decision", ErrEmpty}
	case d.Ends && strings.TrimSpace(d.Because) == "":
		return &FieldError{"reason", ErrEmpty}
	}
	return checkLink(p.Link)
}

func (d Decision) kind() string {
	if d.Again {
		return "decided again/" + d.Edition
	}
	return "decided/" + d.Edition
}

func (d Decision) subject(p Place) string {
	words := "Decided: "
	switch {
	case d.Ends:
		words = "Called off: "
	case d.Consent:
		words = "Please answer: "
	}
	if d.Again {
		words = "Please read: "
	}
	return words + p.Hike + ", " + p.Day
}
