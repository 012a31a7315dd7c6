package message

import (
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"saltbush/internal/caution"
)

// Place holds the facts of a mail about a person's place on a hike, as display text: the
// caller formats figures and units, and dates and times in the trailhead's zone. The mail
// leaves out what is empty.
type Place struct {
	Ref   string // required: the same for the same place, such as "place-41"
	To    string // required: the person's address
	Name  string // required: the person's name
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organization that the mail is from

	Meet    string // "5:40 am"
	Where   string // "Cinder Gate, left at the tank (33.45120, -112.07400)"
	Finish  string // "between 10:10 and 11:30 am"
	Leader  string // the leader's first name, as on the hike page
	Contact string // whom to write to, and how
	Link    string // the person's private link

	UselessAt time.Time // when the mail is no use any more; usually the start of the hike
}

// Reminder holds what the mail on the eve of a hike adds from the plan: what to bring and
// when the group turns back.
type Reminder struct {
	Edition  string   // required: changes when the plan does, such as "plan-3"
	Changed  string   // what is different from the last mail; empty in the first
	Water    string   // "3.5 L (four bottles of 1 L)"
	Food     string   // "600 kcal in small pieces"
	Weather  string   // "34 degrees by 10 am, clear, light wind"
	TurnBack string   // "8:10 am, wherever we are"
	Bring    []string // the rest of the checklist
	Refused  []string // why a person would be sent home
}

// Confirmed tells a person that they have a place.
func Confirmed(p Place) (Mail, error) {
	l := p.open()
	l.para("You have a place on this hike.")
	p.facts(l)
	p.manage(l)
	return p.mail("confirmed", "Your place is confirmed: "+p.Hike+", "+p.Day, l)
}

// Waiting tells a person that they are on the waiting list. Before says how many are ahead
// of them, as in "2 people are before you"; it may be empty.
func Waiting(p Place, before string) (Mail, error) {
	l := p.open()
	l.para("The hike is full. You are on the waiting list; you do not have a place yet. " + sentence(before))
	l.para("We write to you as soon as a place comes free. Please do not come to the trailhead without one.")
	p.facts(l)
	p.manage(l)
	return p.mail("waiting", "You are on the waiting list: "+p.Hike+", "+p.Day, l)
}

// NewPlaceLink brings a person a new link to their place. Older links no longer work.
func NewPlaceLink(p Place) (Mail, error) {
	l := p.open()
	l.para("You asked for a new link to your place. The old one opens nothing any more.")
	l.para("If you did not ask: nothing is lost, and only this mail has the new link.")
	p.facts(l)
	p.manage(l)
	return p.mail("new-link", "A new link to your place: "+p.Hike+", "+p.Day, l)
}

// Promoted tells a person on the waiting list that they now have a place. Until is the time
// by which to withdraw if they cannot come; it may be empty.
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

// Withdrawn confirms to a person that they have withdrawn.
func Withdrawn(p Place) (Mail, error) {
	l := p.open()
	l.para("You have withdrawn from this hike. You no longer have a place on it or on its waiting list.")
	p.facts(l)
	l.para("If you did not ask for this, please write to us now. " + contact(p))
	return p.mail("withdrawn", "You have withdrawn: "+p.Hike+", "+p.Day, l)
}

// Moved tells a person with a place what has changed about the hike, a sentence each. The
// facts of p are the new ones.
func Moved(p Place, changes []string) (Mail, error) {
	l := p.open()
	l.para("This hike has changed. What stands here counts from now on; the earlier mail does not.")
	l.list(changes)
	p.facts(l)
	l.para("If it does not suit you any more, please give your place back. Others are waiting.")
	p.manage(l)
	return p.mail("changed", "Changed: "+p.Hike+", "+p.Day, l)
}

// Remind tells a person what to bring and when to be there. A second reminder, after the
// plan changed, has another edition and begins with r.Changed.
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

// mail ends the letter and checks it, so that nothing is queued that cannot be sent.
func (p Place) mail(kind, subject string, l *letter) (Mail, error) {
	m := Mail{
		To: p.To, Subject: subject, Text: l.endWithCautions(p.Group), Key: kind + "/" + p.Ref,
		UselessAt: p.UselessAt, State: Queued,
	}
	return m, errors.Join(p.check(), m.Check())
}

func (p Place) check() error {
	return errors.Join(checkOptionalLink(p.Link), checkLines([][2]string{
		{"reference", p.Ref}, {"name", p.Name}, {"hike", p.Hike}, {"day", p.Day}, {"group", p.Group},
	}))
}

// checkLines returns an error for each pair of field and value that cannot be part of a
// subject or a greeting.
func checkLines(required [][2]string) error {
	var errs []error
	for _, f := range required {
		errs = append(errs, checkLine(f[0], f[1], maxSubject))
	}
	return errors.Join(errs...)
}

func checkOptionalLink(link string) error {
	if link == "" {
		return nil
	}
	return checkLink(link)
}

// checkLink refuses a link with a space, which wrap would break over two lines.
func checkLink(link string) error {
	if strings.ContainsAny(link, " <>") {
		return &FieldError{"link", errors.New("has a space or a bracket")}
	}
	return checkLine("link", link, maxText)
}

// sentence adds a period to a text that does not end with punctuation.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// lineWidth is the length of a line of text, in characters. RFC 5322 (2008), section 2.1.1,
// asks for no more than 78; a few less leave room for the quote marks of a reply.
const lineWidth = 72

// letter builds a plain text, paragraph by paragraph.
type letter struct{ text strings.Builder }

// para adds a paragraph, unless it is empty.
func (l *letter) para(s string) {
	if strings.TrimSpace(s) == "" {
		return
	}
	l.text.WriteString(wrap("", "", s))
	l.gap()
}

// list adds a bulleted list.
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

// fact adds a line such as "When: Saturday", unless the value is empty.
func (l *letter) fact(name, value string) {
	if strings.TrimSpace(value) != "" {
		l.text.WriteString(wrap(name+": ", "  ", value))
	}
}

// end signs the letter and returns its text.
func (l *letter) end(group string) string {
	l.para(group)
	return strings.TrimRight(l.text.String(), "\n") + "\n"
}

// endWithCautions is end for mail that advises.
func (l *letter) endWithCautions(group string) string {
	l.para(group)
	l.text.WriteString("-- \n") // the usual mark before a footer
	l.list(caution.All())
	return strings.TrimRight(l.text.String(), "\n") + "\n"
}

// gap adds an empty line, unless there is one already.
func (l *letter) gap() {
	if l.text.Len() > 0 && !strings.HasSuffix(l.text.String(), "\n\n") {
		l.text.WriteByte('\n')
	}
}

// wrap breaks a text between words into lines. The first line begins with first, the others
// with other. A word longer than a line, such as a link, stays whole.
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
