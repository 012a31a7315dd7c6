package message

import (
	"errors"
	"strings"
	"time"
)

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
