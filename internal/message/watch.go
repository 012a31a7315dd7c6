package message

import (
	"encoding/json"
	"errors"
	"strconv"
	"strings"
)

// Watch holds the facts of a message to those who watch a hike, as display text, with times
// in the trailhead's zone.
type Watch struct {
	Ref   string // required: the same for the same step to the same person
	To    string // required: a mail address, or a phone number for a text
	Name  string // required: the recipient
	Hike  string // required: the hike's title
	Day   string // required: "Saturday 2 May 2026"
	Group string // required: the organization that the message is from
	Step  string // required: the name of the step, as in "start asking"
	At    string // required: when the step was due: "11:21"

	About string      // what it is about if not the whole party: "Ben Example is missing"
	By    string      // when help is called at the latest: "15:40"; empty if that is now, or not known
	Over  bool        // no alarm: a watch card, an all-clear, or a question to the holder
	Late  string      // how late the message is; empty if it is on time
	Do    string      // what to do now
	Why   []string    // why the times are earlier than usual, or the departure is in doubt
	Where [][2]string // trail, trailhead, land manager
	Cars  []string    // license plates, with their owners
	Times [][2]string // names and clock times
	Out   []string    // who is missing, with their last place and time
	Calls [][2]string // names and phone numbers
	Link  string      // opens the watch of this hike, without signing in
	Made  string      // when the message was written
}

// Alarm is the mail for a step of the ladder. It begins with what to do and whom to call: it may be
// read at two in the morning.
func Alarm(w Watch) (Mail, error) {
	l := &letter{}
	l.para(w.Late)
	l.para(w.Do)
	if w.About != "" {
		l.para(sentence(w.About))
	}
	if w.By != "" {
		l.para("Call for help at " + w.By + " at the latest, unless they are found or back by then.")
	}
	w.calls(l)
	l.para(strings.ToUpper(w.Step) + ", due " + w.At + ": " + w.Hike + ", " + w.Day + ".")
	switch {
	case w.Link == "":
	case w.Over:
		l.para("What happened (this link is yours alone and needs no sign-in):")
		l.para(w.Link)
	default:
		l.para("Say that you have it, or the next person is woken (this link is yours alone and needs no sign-in):")
		l.para(w.Link)
	}
	w.situation(l)
	l.para("Written " + w.Made + ". The page behind the link shows what has happened since.")
	return w.mail(strings.ToUpper(w.Step)+": "+w.Hike, l)
}

// Card is the mail that brings on-call the written times when a party has left, and again
// when these change. Steps lists clock times with what to do then.
func Card(w Watch, steps []string) (Mail, error) {
	l := &letter{}
	l.para("Watch card: " + w.Hike + ", " + w.Day + ".")
	l.para(w.Late)
	l.para("For " + w.Name + ". Keep or print this. The times stand even if you hear nothing more from this program: " +
		"then hold the clock yourself. They move later only when staff report a delay; you get a new card then.")
	l.list(steps)
	w.facts(l)
	if w.Link != "" {
		l.para("The watch of this hike (this link is yours alone and needs no sign-in):")
		l.para(w.Link)
	}
	l.para("Written " + w.Made + ".")
	return w.mail("Watch card: "+w.Hike+", "+w.Day, l)
}

// Text is the text message, sent through the organization's own gateway.
func Text(w Watch) (Mail, error) {
	parts := []string{strings.ToUpper(w.Step) + ": " + w.Hike + ", due " + w.At + "."}
	if w.About != "" {
		parts = append(parts, sentence(w.About))
	}
	if w.By != "" {
		parts = append(parts, "Call for help at "+w.By+" at the latest.")
	}
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

// Pushed is the push to one browser of an account, the slot-th. It names no person, because
// it shows on a locked screen. Path is the page of the watch, behind the sign-in.
func Pushed(w Watch, slot int, path string) (Mail, error) {
	title := strings.ToUpper(w.Step) + ": " + w.Hike
	body := sentence("Due " + w.At)
	if w.Late != "" {
		body += " It comes late: act at once."
	}
	key := w.Ref + "/" + string(ByPush) + "/" + strconv.Itoa(slot)
	text, err := json.Marshal(PushText{Key: key, Title: title, Body: body, URL: path})
	m := Mail{Channel: ByPush, To: w.To, Subject: title, Text: string(text), Key: key, State: Queued}
	return m, errors.Join(err, w.check(), m.Check())
}

func (w Watch) facts(l *letter) {
	w.situation(l)
	w.calls(l)
}

func (w Watch) calls(l *letter) {
	for _, c := range w.Calls {
		l.fact(c[0], c[1])
	}
	l.gap()
}

func (w Watch) situation(l *letter) {
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
}

func (w Watch) mail(subject string, l *letter) (Mail, error) {
	m := Mail{Channel: ByAlarm, To: w.To, Subject: subject, Text: l.endWithCautions(w.Group),
		Key: w.Ref + "/" + string(ByAlarm), State: Queued}
	return m, errors.Join(w.check(), m.Check())
}

func (w Watch) check() error {
	return errors.Join(checkOptionalLink(w.Link), checkLines([][2]string{
		{"reference", w.Ref}, {"name", w.Name}, {"hike", w.Hike}, {"day", w.Day}, {"group", w.Group}, {"step", w.Step},
		{"due", w.At},
	}))
}
