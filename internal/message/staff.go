package message

import (
	"errors"
	"strings"
	"time"

	"saltbush/internal/caution"
)

// Part is what a mail to somebody of the staff says, as text ready to be read, in the time
// of the trailhead.
type Part struct {
	Ref   string // required: the same for the same asking
	To    string
	Name  string // required
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organisation in whose name it goes
	Part  string // required: "leader", "on-call"

	Meet  string
	Trail string
	By    string // who asks
	Link  string // opens the answer, without signing in
	Until time.Time
}

// Ask is the mail by which somebody is asked to take a part in a hike.
func Ask(p Part) (Mail, error) {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	l.para(strings.TrimSpace(p.By +
		" asks whether you take this part in a hike. Until you say yes, nobody counts on you."))
	l.fact("Part", p.Part)
	l.fact("Hike", p.Hike)
	l.fact("Trail", p.Trail)
	l.fact("Day", p.Day)
	l.fact("Meet", p.Meet)
	l.gap()
	l.para("Say yes or no (this link is yours alone and needs no sign-in):")
	l.para(p.Link)
	l.para("A no is a good answer: say why in a few words, and we ask somebody else.")
	return p.mail("asked", "Will you be "+p.Part+"? "+p.Hike+", "+p.Day, l)
}

// Declined tells who looks after the staff of a hike that somebody has said no.
func Declined(p Part, who, because string) (Mail, error) {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	l.para(who + " cannot be " + p.Part + " of " + p.Hike + " on " + p.Day + ": " + sentence(because))
	l.para("Who else is free and qualified, the fairest first:")
	l.para(p.Link)
	return p.mail("declined", "No "+p.Part+" yet: "+p.Hike+", "+p.Day, l)
}

// PaperEnds warns that a certificate ends, or will have ended on the day of a hike. What
// is the sentence that says so.
func PaperEnds(p Part, what string) (Mail, error) {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	l.para(what)
	l.para("A paper counts through its last day, judged on the day of the hike. Renew it, or let somebody else take " +
		"the part; the hike can stay.")
	l.para(p.Link)
	return p.mail("paper", "A certificate ends: "+p.Part, l)
}

func (p Part) mail(kind, subject string, l *letter) (Mail, error) {
	l.para(p.Group)
	l.text.WriteString("-- \n") // the usual mark before a foot
	l.list(caution.All())
	m := Mail{To: p.To, Subject: subject, Text: strings.TrimRight(l.text.String(), "\n") + "\n",
		Key: kind + "/" + p.Ref, UselessAt: p.Until, State: Queued}
	return m, errors.Join(p.check(), m.Check())
}

func (p Part) check() error {
	var errs []error
	for _, f := range [][2]string{{"reference", p.Ref}, {"name", p.Name}, {"hike", p.Hike}, {"day", p.Day},
		{"group", p.Group}, {"part", p.Part}} {
		errs = append(errs, checkLine(f[0], f[1], maxSubject))
	}
	if p.Link != "" {
		errs = append(errs, checkLink(p.Link))
	}
	return errors.Join(errs...)
}
