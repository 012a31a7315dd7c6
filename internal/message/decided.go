package message

import "strings"

// Decision is what a mail says that was decided about a hike, as text ready to be read.
type Decision struct {
	Edition string // required: differs between decisions about a hike
	What    string // required: "It goes, earlier: meet at 05:30."
	Because string // required where the hike ends
	Again   bool   // the one reminder of who has not said that they read it
	Consent bool   // the place waits until its person agrees
	Ends    bool   // the hike is called off
}

// Decided tells a person what was decided, with a link by which they say that they have
// read it. Link is required.
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
