package message

import (
	"context"
	"time"
)

// Topic is a kind of mail that people may stop. Mail without a topic cannot be stopped:
// decisions about a hike, changes of a place, and alarms.
type Topic string

// The topics.
const (
	Eve    Topic = "reminders"    // on the eve of a hike: what to bring
	Papers Topic = "certificates" // a certificate expires
)

// Says returns the topic in words that fit after "no more".
func (t Topic) Says() string {
	switch t {
	case Eve:
		return "reminders before a hike"
	case Papers:
		return "warnings of certificates that end"
	}
	return "mails of this kind"
}

// Choice records whether an address wants the mail of a topic.
type Choice struct {
	Address string
	Topic   Topic
	Token   string    // in the link of each mail; it can stop and resume them, nothing else
	Stopped time.Time // zero while they are wanted
}

// Choices stores which mail people want.
type Choices interface {
	// Choice returns the choice of an address, ignoring case. Where there is none yet it
	// stores that the mail is wanted.
	Choice(ctx context.Context, address string, t Topic) (Choice, error)

	// ChoiceByToken returns the choice with the token, else ErrNotFound.
	ChoiceByToken(ctx context.Context, token string) (Choice, error)

	// Stop stops the mail of the choice, including what waits in the outbox. Stopping twice
	// keeps the first time. Resume undoes it for later mail. Both return ErrNotFound where
	// there is no such token.
	Stop(ctx context.Context, token string, now time.Time) error
	Resume(ctx context.Context, token string) error
}

// Stoppable makes m a mail of the topic. Its headers and its last lines give the address
// that stops such mail: RFC 2369 (1998), section 3.2, and RFC 8058 (2017).
func (m Mail) Stoppable(t Topic, address string) Mail {
	l := &letter{}
	l.para("No more " + t.Says() +
		": one press at this address. What is decided about a hike and what concerns your safety still comes.")
	l.para(address)
	m.Topic, m.StopAt = t, address
	m.Text += "\n" + l.text.String()
	return m
}
