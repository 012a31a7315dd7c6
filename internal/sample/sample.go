package sample

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
)

// Stores are the stores to load the scenario into.
type Stores struct {
	Hikes    hike.Store
	Rolls    roll.Store
	Accounts account.Store
	Outbox   message.Outbox
	// Tell and Ground are for a hike that moves to another trail; nil leaves that out.
	Tell   Teller
	Ground trail.GroundStore
	Rides  ride.Store     // for the cars of the one-way hike; nil leaves them out
	Staff  staffing.Store // for staff records; nil leaves them out
	Cards  card.Store     // for medical cards; nil leaves them out
	// BaseURL is the start of private links in mail.
	BaseURL string
}

// SignIn is an account that a visitor of the demo may use.
type SignIn struct {
	As       string // the role
	Email    string
	Password string
}

// Load stores the scenario that prepare returns, and returns the accounts to try. If there is
// a coordinator, it stores nothing and does not call prepare. If a load was interrupted, there
// is no coordinator yet: Load calls off the hikes of that load and starts again.
func Load(ctx context.Context, s Stores, prepare func() (*Scenario, error)) ([]SignIn, error) {
	known, err := s.Accounts.Accounts(ctx)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(known, func(a account.Account) bool { return a.Has(account.Coordinator) }) {
		return signIns(), nil
	}
	scenario, err := prepare()
	if err != nil {
		return nil, fmt.Errorf("prepare the sample season: %w", err)
	}
	l := loader{Stores: s, Scenario: scenario}
	if err := errors.Join(l.clear(ctx, known), l.load(ctx, known)); err != nil {
		return nil, fmt.Errorf("load the sample season: %w", err)
	}
	return signIns(), nil
}

// clear calls off the hikes of an interrupted load.
func (l *loader) clear(ctx context.Context, known []account.Account) error {
	if len(known) == 0 {
		return nil
	}
	left, err := l.Hikes.Hikes(ctx, l.now.AddDate(-1, 0, 0), l.now.AddDate(1, 0, 0))
	if err != nil {
		return err
	}
	for _, h := range left {
		err := l.Hikes.ChangeHike(ctx, h.Hike.ID, func(h *hike.Hike) error {
			if h.State != hike.Closed {
				h.State, h.CalledOffBecause = hike.CalledOff, "Left over from a start of the demo that was cut short."
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}
