package account

import (
	"context"
	"errors"
	"fmt"
	"time"

	"saltbush/internal/ref"
)

// ErrLinkWithdrawn is returned for a link that was withdrawn.
var ErrLinkWithdrawn = errors.New("this link has been withdrawn: ask the leader for a new one")

// DayPart is what the holder of a day link does on the hike.
type DayPart string

// A sweep takes the roll; on-call keeps the watch.
const (
	DaySweep  DayPart = "sweep"
	DayOnCall DayPart = "on-call"
)

const (
	// DayLinkAfterClose is how long after the close of its hike a day link still works.
	// Copies on phones expire at the same time.
	DayLinkAfterClose = 48 * time.Hour
	// DayLinkAtMost is how long after the start a day link works if nobody closes the hike.
	// Our judgment: a day hike that is still open after a week was forgotten.
	DayLinkAtMost = 7 * 24 * time.Hour
)

// DayLink lets one named person without an account work on one hike.
type DayLink struct {
	ID        int64
	Hash      Hash
	Hike      ref.Hike
	Name      string
	Part      DayPart
	Made      time.Time
	MadeBy    string
	Expires   time.Time // the first instant at which it no longer works
	LastUsed  time.Time // zero: never
	Withdrawn time.Time // zero: not withdrawn
}

// Validate returns what is wrong with a new link, worded for the person who makes it.
func (l DayLink) Validate() error {
	if checkName(l.Name) != nil {
		return fmt.Errorf("name: write who gets the link, in at most %d characters", maxName)
	}
	if l.Part != DaySweep && l.Part != DayOnCall {
		return fmt.Errorf("part %q: choose %s or %s", l.Part, DaySweep, DayOnCall)
	}
	return nil
}

// Check returns nil if the link works at now, else ErrLinkWithdrawn or ErrLinkExpired.
func (l DayLink) Check(now time.Time) error {
	switch {
	case !l.Withdrawn.IsZero():
		return ErrLinkWithdrawn
	case !now.Before(l.Expires):
		return ErrLinkExpired
	}
	return nil
}

// Link returns the link in the form that May checks.
func (l DayLink) Link() Link {
	return Link{Hash: l.Hash, Target: l.target(), Expires: l.Expires}
}

func (l DayLink) target() Target {
	if l.Part == DayOnCall {
		return DayWatchTarget(l.Hike)
	}
	return DayTarget(l.Hike)
}

// Signature is the name that signs the holder's records.
func (l DayLink) Signature() string { return "day link " + l.Name }

// DayStore stores day links. Every method is one transaction.
type DayStore interface {
	// AddDayLink stores a new link.
	AddDayLink(ctx context.Context, l DayLink) error

	// DayLinks returns every link of a hike, expired and withdrawn ones too, oldest first.
	DayLinks(ctx context.Context, hike ref.Hike) ([]DayLink, error)

	// DayLinkByHash returns the link or ErrNotFound. The caller must call Check.
	DayLinkByHash(ctx context.Context, h Hash) (DayLink, error)

	// DayLinkUsed records when the link was last used, to the minute.
	DayLinkUsed(ctx context.Context, id int64, now time.Time) error

	// WithdrawDayLink withdraws a link of the hike. It is ErrNotFound if the hike has no such
	// link.
	WithdrawDayLink(ctx context.Context, hike ref.Hike, id int64, now time.Time) error

	// EndDayLinks makes every link of the hike expire at the instant, if not before.
	EndDayLinks(ctx context.Context, hike ref.Hike, at time.Time) error
}
