package message

import "strings"

// Decision holds the facts of a mail about a decision on a hike, as display text.
type Decision struct {
	Edition string // required: differs between decisions about a hike
	What    string // required: "It goes, earlier: meet at 05:30."
	Because string // required if the hike is called off
	// Changes lists what is different, a sentence each. NotKnown says which figures nobody
	// knows yet.
	Changes  []string
	NotKnown string
	// More says in what the walk asks more than before. Then either Consent or Talk is set. Talk
	// means that a talk comes before the place is confirmed again, and Until how long it is kept.
	More    []string
	Talk    bool
	Until   string
	Staff   bool // the reader is on the staff, and has no place to give back
	Again   bool // this is the reminder to somebody who has not confirmed reading it
	Consent bool // the place is kept until the person agrees
	Ends    bool // the hike is called off
}

// Decided tells a person what was decided. They confirm reading it with p.Link, which is
// required.
func Decided(p Place, d Decision) (Mail, error) {
	if err := d.check(p); err != nil {
		return Mail{}, err
	}
	l := p.open()
	if d.Again {
		l.para("You have not told us yet that you have read this, so here it is once more. After this we will call " +
			"you.")
	}
	l.para(sentence(d.What))
	if d.Because != "" {
		l.para("Why: " + sentence(d.Because))
	}
	if len(d.Changes) > 0 {
		l.para("What is different:")
		l.list(d.Changes)
	}
	l.para(d.NotKnown)
	p.facts(l)
	d.ask(l)
	l.para(p.Link)
	l.para(contact(p))
	return p.mail(d.kind(), d.subject(p), l)
}

// ask says what the person has to do.
func (d Decision) ask(l *letter) {
	if len(d.More) > 0 && !d.Staff {
		l.para("This asks more of you than before: " + strings.Join(d.More, "; ") + ".")
	}
	switch {
	case d.Talk:
		l.para("So before your place is confirmed again, the leader would like a word with you. It is a " +
			"conversation, not a test; your page says what it is about.")
		if d.Until != "" {
			l.para("Your place is kept until " + sentence(d.Until))
		}
		l.para("Please tell us that you have read this, or give your place back, using this link, which is for you " +
			"alone:")
	case d.Consent:
		l.para("We are holding your place until you agree. If this hike is no longer for you, please give your " +
			"place back. Use this link for either; it is for you alone:")
	case len(d.Changes) > 0 && !d.Staff:
		l.para("Please tell us that you have read this, or give your place back if the hike no longer suits you, " +
			"using this link. It is for you alone and needs no sign-in:")
	default:
		l.para("Please use this link to tell us that you have read this. It is for you alone and needs no sign-in:")
	}
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
