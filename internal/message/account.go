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

// Invitation is what a letter to somebody says for whom an account was made.
type Invitation struct {
	Ref   string // required: the same for the same invitation
	To    string // required: the person's address
	Name  string // required
	Group string // required: the organisation in whose name it goes
	By    string // who made the account
	Link  string // required: chooses the password, once
	Until string // "Sunday 17 May 2026"

	UselessAt time.Time // when the link ends
}

// Invited brings a new person the link by which they choose their password.
func Invited(i Invitation) (Mail, error) {
	l := &letter{}
	l.para("Hello " + i.Name + ",")
	l.para(strings.TrimSpace(i.By +
		" made an account for you, so that you can help with the hikes of " + i.Group + "."))
	l.para("Choose your password here. The link works once, and it is yours alone:")
	l.para(i.Link)
	l.fact("It ends", i.Until)
	l.gap()
	l.para("If you know nothing of this, you need do nothing: without a password the account opens to nobody.")
	l.para(i.Group)
	m := Mail{To: i.To, Subject: "Your account with " + i.Group, Text: strings.TrimRight(l.text.String(), "\n") + "\n",
		Key: "invited/" + i.Ref, UselessAt: i.UselessAt, State: Queued}
	return m, errors.Join(checkLine("reference", i.Ref, maxSubject), checkLine("name", i.Name, maxSubject),
		checkLine("group", i.Group, maxSubject), checkLink(i.Link), m.Check())
}
