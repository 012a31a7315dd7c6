package account

import (
	"context"
	"errors"
	"fmt"
	"time"

	"saltbush/internal/ref"
)

// ErrLinkWithdrawn is the refusal of a link that its maker has taken back.
var ErrLinkWithdrawn = errors.New("this link has been withdrawn: ask the leader for a new one")

// DayPart is what the holder of a link for the day does on the hike.
type DayPart string

// The parts. A sweep takes the roll; on-call keeps the watch.
const (
	DaySweep  DayPart = "sweep"
	DayOnCall DayPart = "on-call"
)

const (
	// DayLinkAfterClose is how long a link for the day outlives the close of its hike.
	// House default: copies on phones end by themselves 48 h after close.
	DayLinkAfterClose = 48 * time.Hour
	// DayLinkAtMost is how long after the start a link ends where nobody closes the hike.
	// House judgement: a day hike that is not closed in a week has been forgotten.
	DayLinkAtMost = 7 * 24 * time.Hour
)

// DayLink opens one hike and nothing else to one named person without an account.
type DayLink struct {
	ID        int64
	Hash      Hash
	Hike      ref.Hike
	Name      string
	Part      DayPart
	Made      time.Time
	MadeBy    string
	Expires   time.Time // the first instant at which it is closed
	LastUsed  time.Time // zero: never
	Withdrawn time.Time // zero: not withdrawn
}

// Validate returns an error that says what is wrong with a new link.
func (l DayLink) Validate() error {
	if checkName(l.Name) != nil {
		return fmt.Errorf("name: write who gets the link, in at most %d characters", maxName)
	}
	if l.Part != DaySweep && l.Part != DayOnCall {
		return fmt.Errorf("part %q: choose %s or %s", l.Part, DaySweep, DayOnCall)
	}
	return nil
}

// Check returns nil while the link is open at now, else ErrLinkWithdrawn or ErrLinkExpired.
func (l DayLink) Check(now time.Time) error {
	switch {
	case !l.Withdrawn.IsZero():
		return ErrLinkWithdrawn
	case !now.Before(l.Expires):
		return ErrLinkExpired
	}
	return nil
}

// Link returns the link as May is asked about it.
func (l DayLink) Link() Link {
	return Link{Hash: l.Hash, Target: l.target(), Expires: l.Expires}
}

func (l DayLink) target() Target {
	if l.Part == DayOnCall {
		return DayWatchTarget(l.Hike)
	}
	return DayTarget(l.Hike)
}

// Signature is the name under which the holder's records are kept.
func (l DayLink) Signature() string { return "day link " + l.Name }

// DayStore keeps links for the day. Every method is one transaction.
type DayStore interface {
	// AddDayLink stores a new link.
	AddDayLink(ctx context.Context, l DayLink) error

	// DayLinks returns every link of a hike, open or not, in the order of making.
	DayLinks(ctx context.Context, hike ref.Hike) ([]DayLink, error)

	// DayLinkByHash returns the link, open or not, else ErrNotFound. The caller asks Check.
	DayLinkByHash(ctx context.Context, h Hash) (DayLink, error)

	// DayLinkUsed notes that the link was used, to the minute.
	DayLinkUsed(ctx context.Context, id int64, now time.Time) error

	// WithdrawDayLink closes a link of that hike now; ErrNotFound where it has none such.
	WithdrawDayLink(ctx context.Context, hike ref.Hike, id int64, now time.Time) error

	// EndDayLinks lets no link of the hike outlive the instant.
	EndDayLinks(ctx context.Context, hike ref.Hike, at time.Time) error
}
