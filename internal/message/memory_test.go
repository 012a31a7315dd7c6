package message_test

import (
	"context"
	"slices"
	"sync"
	"time"

	"saltbush/internal/message"
)

// memory is an Outbox in memory.
type memory struct {
	mu       sync.Mutex
	mails    []message.Mail
	sentFail error // returned by MarkSent
}

func (b *memory) Queue(_ context.Context, now time.Time, mails ...message.Mail) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, m := range mails {
		if slices.ContainsFunc(b.mails, func(o message.Mail) bool { return o.Key == m.Key }) {
			continue
		}
		m.ID, m.Created, m.NextTry, m.State = int64(len(b.mails)+1), now, now, message.Queued
		b.mails = append(b.mails, m)
	}
	return nil
}

func (b *memory) Claim(_ context.Context, now time.Time, hold time.Duration, n int) ([]message.Mail, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var due []*message.Mail
	for i := range b.mails {
		if m := &b.mails[i]; m.State == message.Queued && !m.NextTry.After(now) {
			due = append(due, m)
		}
	}
	slices.SortStableFunc(due, func(x, y *message.Mail) int { return x.NextTry.Compare(y.NextTry) })
	var out []message.Mail
	for _, m := range due[:min(n, len(due))] {
		m.Tries++
		m.NextTry = now.Add(hold)
		out = append(out, *m)
	}
	return out, nil
}

func (b *memory) MarkSent(ctx context.Context, m message.Mail, at time.Time) error {
	if b.sentFail != nil {
		return b.sentFail
	}
	return b.change(ctx, m.ID, func(kept *message.Mail) {
		kept.State, kept.SentAt, kept.LastError = message.Sent, at, ""
	})
}

func (b *memory) MarkFailed(ctx context.Context, m message.Mail, reason string, next time.Time) error {
	return b.change(ctx, m.ID, func(kept *message.Mail) {
		if kept.Tries != m.Tries || kept.State == message.Sent {
			return
		}
		kept.LastError, kept.NextTry = reason, next
		if next.IsZero() {
			kept.State = message.Failed
		}
	})
}

func (b *memory) Recent(context.Context, int) ([]message.Mail, error) { return b.all(), nil }

func (b *memory) change(ctx context.Context, id int64, f func(*message.Mail)) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for i := range b.mails {
		if b.mails[i].ID == id {
			f(&b.mails[i])
			return nil
		}
	}
	return message.ErrNotFound
}

func (b *memory) all() []message.Mail {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.mails)
}

// capture is a Sender that keeps what message.Discard takes.
type capture struct {
	mu    sync.Mutex
	mails []message.Mail
}

func (c *capture) Send(ctx context.Context, m message.Mail) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.mails = append(c.mails, m)
	return message.Discard{}.Send(ctx, m)
}

func (c *capture) all() []message.Mail {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.mails)
}
