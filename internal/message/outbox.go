package message

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// ErrNotFound is returned for a mail that is not in the outbox.
var ErrNotFound = errors.New("no such mail")

// Outbox keeps mail until it is sent, and afterwards as a record. Errors other than
// those named are failures of the store itself.
type Outbox interface {
	// Queue stores mails as queued, with Created and NextTry at now. A mail whose key
	// is there already, in whatever state, is passed over without an error, and so is one
	// of a topic that its reader has stopped. Where a
	// change is what the mail tells of, both belong in one transaction.
	Queue(ctx context.Context, now time.Time, mails ...Mail) error

	// Claim takes up to n queued mails whose NextTry is not after now, the one that has
	// waited longest first, adds one to their Tries, moves their NextTry to the end of
	// the claim, now plus hold, and returns them so changed. No mail is in two claims
	// at once, also between several instances; one whose claimant has vanished comes
	// back when its claim ends.
	Claim(ctx context.Context, now time.Time, hold time.Duration, n int) ([]Mail, error)

	// MarkSent stores that a claimed mail has left at the time given, and clears
	// LastError. It holds even where the claim has ended in between.
	MarkSent(ctx context.Context, m Mail, at time.Time) error

	// MarkFailed stores why a claimed mail did not leave. With a zero next time the
	// mail becomes Failed, else it stays queued for then. Where the mail has been
	// claimed again since (its Tries differ from m.Tries) or sent, nothing changes.
	MarkFailed(ctx context.Context, m Mail, reason string, next time.Time) error

	// Recent returns up to n mails in all states, the latest created first, without
	// the contents of attachments.
	Recent(ctx context.Context, n int) ([]Mail, error)
}

// Sender hands one mail on. It returns nil once the mail is in other hands for good. An
// error that wraps ErrRefused will not go away by trying again; any other may.
type Sender interface {
	Send(ctx context.Context, m Mail) error
}

// ErrRefused is wrapped by errors of a Sender that make another try pointless.
var ErrRefused = errors.New("refused for good")

// Policy says how hard Deliver tries.
type Policy struct {
	Batch    int           // mails in one pass
	Patience time.Duration // for one mail
	First    time.Duration // wait after the first failure; doubled after each further one
	Ceiling  time.Duration // longest wait
	MaxTries int           // given up after as many
}

// DefaultPolicy tries for about two days.
// House judgement: RFC 5321 (2008), section 4.5.4.1, asks servers for 30 minutes between
// tries and four to five days; we hand mail to one server that does that, a hike is soon
// over, and a place that came free should be known within minutes.
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

// hold is how long a pass may keep its claim: every mail takes all its patience, and one
// patience is left for the store.
func (p Policy) hold() time.Duration {
	return time.Duration(p.Batch+1) * p.Patience
}

// Report counts what one pass did.
type Report struct {
	Sent    int
	Delayed int // to be tried again
	GivenUp int
}

// Deliver makes one pass: it claims what is due, sends it one after another, and stores
// what came of each. Its error is the store's; what a sender says is stored with the
// mail. When ctx ends, mails not yet tried come back when their claim ends.
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

func (done *Report) deliver(ctx context.Context, box Outbox, s Sender, clock func() time.Time, p Policy, m Mail) error {
	sendErr := try(ctx, s, p, m, clock())
	// What has happened is stored even while the program is being stopped; otherwise a
	// mail that has left would leave again.
	store, cancel := context.WithTimeout(context.WithoutCancel(ctx), p.Patience)
	defer cancel()
	if sendErr == nil {
		done.Sent++
		return box.MarkSent(store, m, clock())
	}
	next := p.next(m, sendErr, clock())
	if next.IsZero() {
		done.GivenUp++
	} else {
		done.Delayed++
	}
	return box.MarkFailed(store, m, sendErr.Error(), next)
}

func try(ctx context.Context, s Sender, p Policy, m Mail, now time.Time) error {
	switch {
	case !m.UselessAt.IsZero() && !now.Before(m.UselessAt):
		return fmt.Errorf("too late to be of use: %w", ErrRefused)
	case m.Tries > p.MaxTries: // the program has stopped in the middle of the last try
		return fmt.Errorf("tried %d times without an answer: %w", p.MaxTries, ErrRefused)
	}
	if err := m.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrRefused, err)
	}
	ctx, cancel := context.WithTimeout(ctx, p.Patience)
	defer cancel()
	return s.Send(ctx, m)
}

// next is when to try again; zero: not at all.
func (p Policy) next(m Mail, err error, now time.Time) time.Time {
	if errors.Is(err, ErrRefused) || m.Tries >= p.MaxTries {
		return time.Time{}
	}
	return now.Add(p.Wait(m.Tries))
}

// Discard is a Sender from which nothing leaves. The outbox keeps what it took.
type Discard struct{}

// Send takes the mail, or returns what Mail.Check says.
func (Discard) Send(ctx context.Context, m Mail) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return checked(m)
}
