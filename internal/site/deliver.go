package site

import (
	"context"
	"errors"
	"time"

	"saltbush/internal/message"
)

// House judgement: how often the outbox is looked through; a confirmation that comes
// within seconds is what people expect.
const deliverEvery = 2 * time.Second

// delivering empties one queue of the outbox.
func (s *Site) delivering(box message.Outbox, sender message.Sender, p message.Policy) job {
	return job{name: "deliver messages", each: s.intervals.Deliver, do: func(ctx context.Context) error {
		for ctx.Err() == nil {
			done, err := message.Deliver(ctx, box, sender, s.now, p)
			if err != nil || done == (message.Report{}) {
				return err
			}
		}
		return nil
	}}
}

// errNoMailServer is why mail waits: it is queued and kept, and goes when a server is set.
var errNoMailServer = errors.New("no mail server is set")

// unsent is the sender of a site without a mail server: everything stays in the outbox.
type unsent struct{}

// Send always fails, so that the mail waits and says why.
func (unsent) Send(context.Context, message.Mail) error { return errNoMailServer }
