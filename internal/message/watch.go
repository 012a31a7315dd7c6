package message

import (
	"encoding/json"
	"errors"
	"strconv"
	"strings"

	"saltbush/internal/caution"
)

// Watch is what a message to those who watch a hike says, as text ready to be read, in
// the time of the trailhead.
type Watch struct {
	Ref   string // required: the same for the same step to the same person
	To    string // required: a mail address, or a phone number for a text
	Name  string // required: whom it is for
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organisation in whose name it goes
	Step  string // required: what it is about: "start asking"
	At    string // required: when the step was due: "11:21"

	Late  string      // how late the message is, empty where it is not
	Do    string      // what to do now
	Why   []string    // what makes the times earlier than usual, or the departure doubtful
	Where [][2]string // where the party walks: trail, trailhead, land manager
	Cars  []string    // number plates, with who came in them
	Times [][2]string // names and clock times
	Out   []string    // who is out, by name, with the last agreed place and time
	Calls [][2]string // names and phone numbers
	Link  string      // opens the watch of this hike, without signing in
	Made  string      // when the message was written
}

// Alarm is the mail by which a step of the ladder reaches somebody: what to do stands
// first.
func Alarm(w Watch) (Mail, error) {
	l := &letter{}
	l.para(strings.ToUpper(w.Step) + ", due " + w.At + ": " + w.Hike + ", " + w.Day + ".")
	l.para(w.Late)
	l.para(w.Do)
	if w.Link != "" {
		l.para("Say that you have it, or the next person is woken (this link is yours alone and needs no sign-in):")
		l.para(w.Link)
	}
	w.facts(l)
	l.para("Written " + w.Made + ". The page behind the link shows what has happened since.")
	return w.mail(strings.ToUpper(w.Step)+": "+w.Hike, l)
}

// Card is the mail that hands on-call the written times when a party has left, and again
// when they move. What to do when is a list of clock times with their steps.
func Card(w Watch, when []string) (Mail, error) {
	l := &letter{}
	l.para("Watch card: " + w.Hike + ", " + w.Day + ".")
	l.para(w.Late)
	l.para("For " + w.Name + ". Keep or print this. The times stand even if you hear nothing more from this program: " +
		"then hold the clock yourself. They move later only when staff report a delay; you get a new card then.")
	l.list(when)
	w.facts(l)
	if w.Link != "" {
		l.para("The watch of this hike (this link is yours alone and needs no sign-in):")
		l.para(w.Link)
	}
	l.para("Written " + w.Made + ".")
	return w.mail("Watch card: "+w.Hike+", "+w.Day, l)
}

// Text is the short form for a phone, sent through the organisation's own gateway.
func Text(w Watch) (Mail, error) {
	parts := []string{strings.ToUpper(w.Step) + ": " + w.Hike + ", due " + w.At + "."}
	for _, p := range append([]string{w.Late}, w.Why...) {
		if p != "" {
			parts = append(parts, sentence(p))
		}
	}
	for _, c := range w.Calls {
		parts = append(parts, c[0]+" "+c[1]+".")
	}
	if w.Link != "" {
		parts = append(parts, "Answer: "+w.Link)
	}
	m := Mail{Channel: ByHook, To: w.To, Subject: strings.ToUpper(w.Step) + ": " + w.Hike,
		Text: strings.Join(parts, " "), Key: w.Ref + "/" + string(ByHook), State: Queued}
	return m, errors.Join(w.check(), m.Check())
}

// Pushed is the message to one browser of an account, the slot-th. It names no person: it
// shows on a locked screen. Path is the watch on this site, behind the sign-in.
func Pushed(w Watch, slot int, path string) (Mail, error) {
	title := strings.ToUpper(w.Step) + ": " + w.Hike
	body := sentence("Due " + w.At)
	if w.Late != "" {
		body += " It comes late: act at once."
	}
	key := w.Ref + "/" + string(ByPush) + "/" + strconv.Itoa(slot)
	text, err := json.Marshal(Wake{Key: key, Title: title, Body: body, URL: path})
	m := Mail{Channel: ByPush, To: w.To, Subject: title, Text: string(text), Key: key, State: Queued}
	return m, errors.Join(err, w.check(), m.Check())
}

func (w Watch) facts(l *letter) {
	l.list(w.Why)
	for _, x := range w.Where {
		l.fact(x[0], x[1])
	}
	l.fact("Cars", strings.Join(w.Cars, "; "))
	l.gap()
	for _, t := range w.Times {
		l.fact(t[0], t[1])
	}
	l.gap()
	if len(w.Out) > 0 {
		l.para("Not accounted for, with the last agreed place:")
		l.list(w.Out)
	}
	for _, c := range w.Calls {
		l.fact(c[0], c[1])
	}
	l.gap()
}

func (w Watch) mail(subject string, l *letter) (Mail, error) {
	l.para(w.Group)
	l.text.WriteString("-- \n") // the usual mark before a foot
	l.list(caution.All())
	m := Mail{Channel: ByAlarm, To: w.To, Subject: subject, Text: strings.TrimRight(l.text.String(), "\n") + "\n",
		Key: w.Ref + "/" + string(ByAlarm), State: Queued}
	return m, errors.Join(w.check(), m.Check())
}

func (w Watch) check() error {
	var errs []error
	for _, f := range [][2]string{{"reference", w.Ref}, {"name", w.Name}, {"hike", w.Hike}, {"day", w.Day},
		{"group", w.Group}, {"step", w.Step}, {"due", w.At}} {
		errs = append(errs, checkLine(f[0], f[1], maxSubject))
	}
	if w.Link != "" {
		errs = append(errs, checkLink(w.Link))
	}
	return errors.Join(errs...)
}
