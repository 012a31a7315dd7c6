package message

import (
	"context"
	"slices"
	"sync"
)

// Capture is a Sender from which nothing leaves: it keeps the latest mails for a person
// to look at. The zero value is ready and safe for use by several goroutines.
type Capture struct {
	mu    sync.Mutex
	mails []Mail
}

// How many mails a Capture keeps.
// House judgement: more than a demonstration sends, and little memory.
const captured = 500

// Send keeps the mail, or returns what Mail.Check says.
func (c *Capture) Send(ctx context.Context, m Mail) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := checked(m); err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.mails = append(c.mails, m)
	c.mails = c.mails[max(0, len(c.mails)-captured):]
	return nil
}

// Mails returns what has been kept, the earliest first.
func (c *Capture) Mails() []Mail {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.mails)
}
