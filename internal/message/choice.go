package message

import (
	"context"
	"time"
)

// Topic is a kind of mail that a person can do without. What is decided about a hike, a
// place that changes and every alarm have none: they cannot be stopped.
type Topic string

// The topics.
const (
	Eve    Topic = "reminders"    // before a hike that goes: what to bring once more
	Papers Topic = "certificates" // a certificate ends
)

// Says is what the topic is, in words that follow "no more".
func (t Topic) Says() string {
	switch t {
	case Eve:
		return "reminders before a hike"
	case Papers:
		return "warnings of certificates that end"
	}
	return "mails of this kind"
}

// Choice is whether an address wants the mails of a topic.
type Choice struct {
	Address string
	Topic   Topic
	Token   string    // stands in the mails; whoever has it can stop them, and nothing else
	Stopped time.Time // zero: they are wanted
}

// Choices remembers who wants what.
type Choices interface {
	// Choice returns what an address, in any case of letters, has chosen, and makes the
	// choice of wanting it where there is none yet.
	Choice(ctx context.Context, address string, t Topic) (Choice, error)

	// ChoiceByToken is ErrNotFound where there is none.
	ChoiceByToken(ctx context.Context, token string) (Choice, error)

	// Stop ends the mails of the choice at now, those that wait in the outbox too; stopping
	// twice keeps the first time. Resume has them sent again. Both are ErrNotFound where
	// there is no such token.
	Stop(ctx context.Context, token string, now time.Time) error
	Resume(ctx context.Context, token string) error
}

// Stoppable makes m a mail of the topic, which says in its head and at its end where to
// stop such mails: RFC 2369 (1998), section 3.2, and RFC 8058 (2017).
func (m Mail) Stoppable(t Topic, address string) Mail {
	l := &letter{}
	l.para("No more " + t.Says() +
		": one press at this address. What is decided about a hike and what concerns your safety still comes.")
	l.para(address)
	m.Topic, m.StopAt = t, address
	m.Text += "\n" + l.text.String()
	return m
}
