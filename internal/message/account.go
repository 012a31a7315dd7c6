package message

import (
	"errors"
	"strings"
	"time"
)

// AccountNote holds the facts of a mail about somebody's account, as display text.
type AccountNote struct {
	Ref   string // required: differs between mails
	To    string
	Name  string // required
	Group string // required: the organization that the mail is from
	Link  string // for a new password
	Until time.Time
}

// PasswordLink is the mail with the link that sets a new password.
func PasswordLink(n AccountNote) (Mail, error) {
	l := n.open()
	l.para("Somebody asked for a new password for your account. If it was you, choose one here. The link works once, " +
		"for two hours:")
	l.para(n.Link)
	l.para("If it was not you: nothing is changed, and you need not do anything.")
	return n.mail("new-password", "A new password", l, checkLink(n.Link))
}

// AccountChanged tells a person what was changed about their account, in case somebody else
// did it.
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

func (n AccountNote) mail(kind, subject string, l *letter, linkErr error) (Mail, error) {
	m := Mail{To: n.To, Subject: subject, Text: l.end(n.Group), Key: kind + "/" + n.Ref, UselessAt: n.Until,
		State: Queued}
	return m, errors.Join(linkErr, m.Check(), checkLines([][2]string{
		{"reference", n.Ref}, {"name", n.Name}, {"group", n.Group},
	}))
}

// Invitation holds the facts of a mail to somebody who was given an account.
type Invitation struct {
	Ref   string // required: the same for the same invitation
	To    string // required: the person's address
	Name  string // required
	Group string // required: the organization that the mail is from
	By    string // who made the account
	Link  string // required: sets the password, once
	Until string // "Sunday 17 May 2026"

	UselessAt time.Time // when the link ends
}

// Invited is the mail with the link that sets the first password.
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
	m := Mail{To: i.To, Subject: "Your account with " + i.Group, Text: l.end(i.Group), Key: "invited/" + i.Ref,
		UselessAt: i.UselessAt, State: Queued}
	return m, errors.Join(checkLink(i.Link), m.Check(), checkLines([][2]string{
		{"reference", i.Ref}, {"name", i.Name}, {"group", i.Group},
	}))
}
