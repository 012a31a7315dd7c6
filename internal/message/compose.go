package message

import (
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"saltbush/internal/caution"
)

// Place is what a mail about a person's place on a hike says, as text ready to be read.
// Whoever fills it in has put figures, dates and units into words, in the time of the
// trailhead. Empty lines are left out of the mail, except where required.
type Place struct {
	Ref   string // required: the same for the same place, such as "place-41"
	To    string // required: the person's address
	Name  string // required: the person's name
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organisation in whose name the mail goes

	Meet    string // "5:40 am"
	Where   string // "Cinder Gate, left at the tank (33.45120, -112.07400)"
	Finish  string // "between 10:10 and 11:30 am"
	Leader  string // the leader's first name, as on the notice
	Contact string // whom to write to, and how
	Link    string // the person's private link

	UselessAt time.Time // after this nobody needs the mail; usually the start of the hike
}

// Reminder is what the mail on the eve of a hike adds: what to bring and when to turn
// up, from the plan.
type Reminder struct {
	Edition  string   // required: differs when the plan has changed, such as "plan-3"
	Changed  string   // what differs from the last mail; empty for the first
	Water    string   // "3.5 L (four bottles of 1 L)"
	Food     string   // "600 kcal in small pieces"
	Weather  string   // "34 degrees by 10 am, clear, light wind"
	TurnBack string   // "8:10 am, wherever we are"
	Bring    []string // the rest of the checklist
	Refused  []string // what gets a person sent home
}

// Confirmed tells a person that the place is theirs.
func Confirmed(p Place) (Mail, error) {
	l := p.open()
	l.para("You have a place on this hike.")
	p.facts(l)
	p.manage(l)
	return p.mail("confirmed", "Your place is confirmed: "+p.Hike+", "+p.Day, l)
}

// Waiting tells a person that the hike is full and how many wait before them, as text
// such as "2 people are before you"; it may be empty.
func Waiting(p Place, before string) (Mail, error) {
	l := p.open()
	l.para("The hike is full. You are on the waiting list; you do not have a place yet. " + sentence(before))
	l.para("We write to you as soon as a place comes free. Please do not come to the trailhead without one.")
	p.facts(l)
	p.manage(l)
	return p.mail("waiting", "You are on the waiting list: "+p.Hike+", "+p.Day, l)
}

// NewPlaceLink brings a person a new link to their place. Every older one has ended.
func NewPlaceLink(p Place) (Mail, error) {
	l := p.open()
	l.para("You asked for a new link to your place. The old one opens nothing any more.")
	l.para("If you did not ask: nothing is lost, and only this mail has the new link.")
	p.facts(l)
	p.manage(l)
	return p.mail("new-link", "A new link to your place: "+p.Hike+", "+p.Day, l)
}

// Promoted tells a person who waited that a place has come free and is theirs. Until is
// by when to say so if they cannot come, as text; it may be empty.
func Promoted(p Place, until string) (Mail, error) {
	l := p.open()
	l.para("A place has come free, and it is yours: you are no longer on the waiting list.")
	if until != "" {
		l.para("If you cannot come any more, please withdraw by " + sentence(until) + " Others are waiting.")
	}
	p.facts(l)
	p.manage(l)
	return p.mail("promoted", "You now have a place: "+p.Hike+", "+p.Day, l)
}

// Withdrawn tells a person that their place or their wait has ended as they asked.
func Withdrawn(p Place) (Mail, error) {
	l := p.open()
	l.para("You have withdrawn from this hike. You no longer have a place on it or on its waiting list.")
	p.facts(l)
	l.para("If you did not ask for this, please write to us now. " + contact(p))
	return p.mail("withdrawn", "You have withdrawn: "+p.Hike+", "+p.Day, l)
}

// Moved tells a person who has a place that the hike is another than they were told, and
// in what, as sentences. The facts are the new ones.
func Moved(p Place, changes []string) (Mail, error) {
	l := p.open()
	l.para("This hike has changed. What stands here counts from now on; the earlier mail does not.")
	l.list(changes)
	p.facts(l)
	l.para("If it does not suit you any more, please give your place back. Others are waiting.")
	p.manage(l)
	return p.mail("changed", "Changed: "+p.Hike+", "+p.Day, l)
}

// Remind tells a person what to bring and when to be there. A second reminder after a
// change of plan has another edition, and its Changed comes first.
func Remind(p Place, r Reminder) (Mail, error) {
	if err := checkLine("edition", r.Edition, maxKey); err != nil {
		return Mail{}, err
	}
	l := p.open()
	subject := "Before your hike: "
	if r.Changed != "" {
		subject = "Changed: "
		l.para("The plan has changed since our last mail: " + sentence(r.Changed))
	}
	p.facts(l)
	r.write(l)
	l.para("If you feel unwell, slept badly or cannot carry this much water, stay at home and withdraw: it is the " +
		"right thing to do.")
	p.manage(l)
	return p.mail("reminder/"+r.Edition, subject+p.Hike+", "+p.Day, l)
}

func (r Reminder) write(l *letter) {
	l.fact("Weather", r.Weather)
	l.fact("Water to bring", r.Water)
	l.fact("Food to bring", r.Food)
	l.fact("We turn back at", r.TurnBack)
	l.gap()
	if len(r.Bring) > 0 {
		l.para("Also bring:")
		l.list(r.Bring)
	}
	if len(r.Refused) > 0 {
		l.para("Nobody starts:")
		l.list(r.Refused)
	}
}

func (p Place) open() *letter {
	l := &letter{}
	l.para("Hello " + p.Name + ",")
	return l
}

func (p Place) facts(l *letter) {
	l.fact("Hike", p.Hike)
	l.fact("Day", p.Day)
	l.fact("Meet", p.Meet)
	l.fact("Where", p.Where)
	l.fact("Back at the trailhead", p.Finish)
	l.fact("Leader", p.Leader)
	l.gap()
}

func (p Place) manage(l *letter) {
	if p.Link != "" {
		l.para("Your place, what to bring, and how to withdraw (this link is private; whoever has it can act for you):")
		l.para(p.Link)
	}
	l.para(contact(p))
}

func contact(p Place) string {
	if p.Contact == "" {
		return ""
	}
	return "Questions: " + p.Contact
}

// mail closes the letter and checks it, so that nothing is queued that cannot be sent.
func (p Place) mail(kind, subject string, l *letter) (Mail, error) {
	if err := p.check(); err != nil {
		return Mail{}, err
	}
	l.para(p.Group)
	l.text.WriteString("-- \n") // the usual mark before a foot
	l.list(caution.All())
	m := Mail{
		To: p.To, Subject: subject, Text: strings.TrimRight(l.text.String(), "\n") + "\n",
		Key: kind + "/" + p.Ref, UselessAt: p.UselessAt, State: Queued,
	}
	return m, m.Check()
}

// check names the field of the form that is at fault, before it becomes part of a
// subject or a greeting.
func (p Place) check() error {
	required := [][2]string{
		{"reference", p.Ref}, {"name", p.Name}, {"hike", p.Hike}, {"day", p.Day}, {"group", p.Group},
	}
	var errs []error
	for _, f := range required {
		errs = append(errs, checkLine(f[0], f[1], maxSubject))
	}
	if p.Link != "" {
		errs = append(errs, checkLink(p.Link))
	}
	return errors.Join(errs...)
}

// checkLink keeps a link in one piece: a space in it would break it over two lines.
func checkLink(link string) error {
	if strings.ContainsAny(link, " <>") {
		return &FieldError{"link", errors.New("has a space or a bracket")}
	}
	return checkLine("link", link, maxText)
}

// sentence ends a text with a full stop where it has no end yet.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// Width of a line of text.
// RFC 5322 (2008), section 2.1.1: lines should be no more than 78 characters; a little
// less leaves room for the marks of an answer.
const lineWidth = 72

// letter builds a plain text, one paragraph after another.
type letter struct{ text strings.Builder }

// para adds a paragraph; an empty one is passed over.
func (l *letter) para(s string) { l.hang("", s) }

// list adds points with a hyphen each.
func (l *letter) list(points []string) {
	for _, p := range points {
		l.point(p)
	}
	l.gap()
}

func (l *letter) point(s string) {
	if strings.TrimSpace(s) != "" {
		l.text.WriteString(wrap("- ", "  ", s))
	}
}

// fact adds a line such as "When: Saturday"; an empty value is passed over.
func (l *letter) fact(name, value string) {
	if strings.TrimSpace(value) != "" {
		l.text.WriteString(wrap(name+": ", "  ", value))
	}
}

func (l *letter) hang(first, s string) {
	if strings.TrimSpace(s) == "" {
		return
	}
	l.text.WriteString(wrap(first, "", s))
	l.gap()
}

// gap ends a block with an empty line, once.
func (l *letter) gap() {
	if l.text.Len() > 0 && !strings.HasSuffix(l.text.String(), "\n\n") {
		l.text.WriteByte('\n')
	}
}

// wrap breaks a text between words; a word longer than a line, such as a link, stays
// whole. Line breaks in the text become spaces.
func wrap(first, other, s string) string {
	var out strings.Builder
	line := first
	for i, word := range strings.Fields(s) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWidth {
			out.WriteString(line + "\n")
			line = other + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	return out.String() + line + "\n"
}
