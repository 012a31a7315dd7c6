package message

import (
	"errors"
	"strings"
	"time"
)

// AccountNote is what a mail about somebody's account says, as text ready to be read.
type AccountNote struct {
	Ref   string // required: differs between mails
	To    string
	Name  string // required
	Group string // required: the organisation in whose name it goes
	Link  string // for a new password
	Until time.Time
}

// PasswordLink brings a person the link by which they set a new password.
func PasswordLink(n AccountNote) (Mail, error) {
	l := n.open()
	l.para("Somebody asked for a new password for your account. If it was you, choose one here. The link works once, " +
		"for two hours:")
	l.para(n.Link)
	l.para("If it was not you: nothing is changed, and you need not do anything.")
	return n.mail("new-password", "A new password", l, checkLink(n.Link))
}

// AccountChanged tells a person what was changed about their account, so that they learn
// of it where it was not they who did it.
func AccountChanged(n AccountNote, what string) (Mail, error) {
	l := n.open()
	l.para(what)
	return n.mail("account", "Your account was changed", l, nil)
}

func (n AccountNote) open() *letter {
	l := &letter{}
	l.para("Hello " + n.Name + ",")
	return l
}

func (n AccountNote) mail(kind, subject string, l *letter, fault error) (Mail, error) {
	l.para(n.Group)
	m := Mail{To: n.To, Subject: subject, Text: strings.TrimRight(l.text.String(), "\n") + "\n",
		Key: kind + "/" + n.Ref, UselessAt: n.Until, State: Queued}
	return m, errors.Join(fault, checkLine("reference", n.Ref, maxSubject), checkLine("name", n.Name, maxSubject),
		checkLine("group", n.Group, maxSubject), m.Check())
}
