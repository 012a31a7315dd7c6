package message

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// ErrNotFound is returned for a mail, choice or subscription that does not exist.
var ErrNotFound = errors.New("no such mail")

// Outbox stores mail until it is sent, and afterwards as a record. Errors other than those
// named are failures of the store.
type Outbox interface {
	// Queue stores mails as queued, with Created and NextTry at now. It skips, without an
	// error, a mail whose key is stored already in any state, and one of a topic that its
	// reader has stopped. A mail that reports a change belongs in the change's transaction.
	Queue(ctx context.Context, now time.Time, mails ...Mail) error

	// Claim returns up to n queued mails whose NextTry is not after now, in the order of
	// NextTry, after adding one to their Tries and moving their NextTry to the end of the
	// claim, now plus hold. No mail is in two claims at once, even with several instances.
	// If the claimant dies, the mail is due again when its claim ends.
	Claim(ctx context.Context, now time.Time, hold time.Duration, n int) ([]Mail, error)

	// MarkSent stores that a claimed mail was sent at the time given, and clears
	// LastError. It works even if the claim has ended.
	MarkSent(ctx context.Context, m Mail, at time.Time) error

	// MarkFailed stores why a claimed mail was not sent. With a zero next time the mail
	// becomes Failed, else it stays queued until then. It changes nothing if the mail has
	// been sent, or claimed again (its Tries differ from m.Tries).
	MarkFailed(ctx context.Context, m Mail, reason string, next time.Time) error

	// Recent returns up to n mails in all states, the newest first, without attachments.
	Recent(ctx context.Context, n int) ([]Mail, error)
}

// Sender sends one mail. It returns nil once the receiver has taken responsibility for it.
// An error that wraps ErrRefused is permanent; any other may go away.
type Sender interface {
	Send(ctx context.Context, m Mail) error
}

// ErrRefused is wrapped by the permanent errors of a Sender.
var ErrRefused = errors.New("refused for good")

// Policy says how hard Deliver tries.
type Policy struct {
	Batch    int           // mails in a pass
	Patience time.Duration // timeout for one mail
	First    time.Duration // wait after the first failure, doubled after each further one
	Ceiling  time.Duration // longest wait
	MaxTries int           // tries before the mail is given up
}

// DefaultPolicy tries for about two days.
// Our judgment: RFC 5321 (2008), section 4.5.4.1, asks mail servers to wait 30 minutes
// between tries and to keep trying for four to five days. Our mail goes to one server, which
// does that. We try more often, because an offered place should be known within minutes, and
// give up sooner, because a hike is soon over.
func DefaultPolicy() Policy {
	return Policy{Batch: 20, Patience: 30 * time.Second, First: time.Minute, Ceiling: time.Hour, MaxTries: 52}
}

// Wait returns how long to wait after the given number of failed tries.
func (p Policy) Wait(tries int) time.Duration {
	wait := p.First
	for i := 1; i < tries && wait < p.Ceiling; i++ {
		wait *= 2
	}
	return min(wait, p.Ceiling)
}

// hold is how long a pass may keep its claim: the full timeout for every mail, and one for
// the store.
func (p Policy) hold() time.Duration {
	return time.Duration(p.Batch+1) * p.Patience
}

// Report counts what one pass did.
type Report struct {
	Sent    int
	Delayed int // will be tried again
	GivenUp int
}

// Deliver makes one pass: it claims what is due, sends one mail after another, and stores
// each outcome. Its error is the store's; the sender's is stored with the mail. If ctx ends,
// mails not yet tried are due again when their claim ends.
func Deliver(ctx context.Context, box Outbox, s Sender, clock func() time.Time, p Policy) (Report, error) {
	var done Report
	mails, err := box.Claim(ctx, clock(), p.hold(), p.Batch)
	if err != nil {
		return done, fmt.Errorf("claim mail: %w", err)
	}
	var errs []error
	for _, m := range mails {
		if ctx.Err() != nil {
			break
		}
		errs = append(errs, done.deliver(ctx, box, s, clock, p, m))
	}
	return done, errors.Join(errs...)
}

func (r *Report) deliver(ctx context.Context, box Outbox, s Sender, clock func() time.Time, p Policy, m Mail) error {
	sendErr := try(ctx, s, p, m, clock())
	// The outcome is stored even while the program stops, so that a sent mail is not sent
	// again.
	store, cancel := context.WithTimeout(context.WithoutCancel(ctx), p.Patience)
	defer cancel()
	if sendErr == nil {
		r.Sent++
		return box.MarkSent(store, m, clock())
	}
	next := p.next(m, sendErr, clock())
	if next.IsZero() {
		r.GivenUp++
	} else {
		r.Delayed++
	}
	return box.MarkFailed(store, m, sendErr.Error(), next)
}

func try(ctx context.Context, s Sender, p Policy, m Mail, now time.Time) error {
	switch {
	case !m.UselessAt.IsZero() && !now.Before(m.UselessAt):
		return fmt.Errorf("too late to be of use: %w", ErrRefused)
	case m.Tries > p.MaxTries: // the program stopped during the last try
		return fmt.Errorf("tried %d times without an answer: %w", p.MaxTries, ErrRefused)
	}
	if err := m.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrRefused, err)
	}
	ctx, cancel := context.WithTimeout(ctx, p.Patience)
	defer cancel()
	return s.Send(ctx, m)
}

// next returns when to try again, zero for never.
func (p Policy) next(m Mail, err error, now time.Time) time.Time {
	if errors.Is(err, ErrRefused) || m.Tries >= p.MaxTries {
		return time.Time{}
	}
	return now.Add(p.Wait(m.Tries))
}

// Discard is a Sender that sends nothing: the outbox keeps the mail.
type Discard struct{}

// Send returns the error of Mail.Check.
func (Discard) Send(ctx context.Context, m Mail) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return checkMail(m)
}
