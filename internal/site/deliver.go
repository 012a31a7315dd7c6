package site

import (
	"context"
	"errors"
	"time"

	"saltbush/internal/message"
)

// deliverEvery is how often the outbox is checked.
// Our judgment: people expect a confirmation within seconds.
const deliverEvery = 2 * time.Second

// delivering returns the job that empties one queue of the outbox.
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

// errNoMailServer is why mail waits in the outbox until a server is set.
var errNoMailServer = errors.New("no mail server is set")

// unsent is the sender of a site without a mail server.
type unsent struct{}

// Send always fails, so that the mail waits with a reason.
func (unsent) Send(context.Context, message.Mail) error { return errNoMailServer }
