package sample

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
)

// Stores are where the scenario goes.
type Stores struct {
	Hikes    hike.Store
	Rolls    roll.Store
	Accounts account.Store
	// Tell and Ground show a hike that moved to another trail; nil leaves that out.
	Tell   Teller
	Ground trail.GroundStore
	Rides  ride.Store     // nil leaves the cars of the one-way hike out
	Staff  staffing.Store // nil leaves the records of staff out
	Outbox message.Outbox
	Cards  card.Store // keeps medical cards; nil for none
	// BaseURL is what private links in mail begin with; empty makes them relative.
	BaseURL string
}

// SignIn is an account that a visitor of the demo may use.
type SignIn struct {
	As       string // coordinator or leader
	Email    string
	Password string
}

// Load puts the scenario, laid out around now, into an empty store, and returns the
// accounts to try. Where any account exists already it stores nothing; but a load that was
// cut short, of which there is no coordinator yet, is done again, and its hikes are called
// off.
func Load(ctx context.Context, s Stores, now time.Time) ([]SignIn, error) {
	return LoadPrepared(ctx, s, func() (*Scenario, error) { return Prepare(ctx, now) })
}

// LoadPrepared is Load for a scenario that may have been worked out while the database was
// starting. Where nothing is to be stored it is not asked for.
func LoadPrepared(ctx context.Context, s Stores, prepared func() (*Scenario, error)) ([]SignIn, error) {
	known, err := s.Accounts.Accounts(ctx)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(known, func(a account.Account) bool { return a.Has(account.Coordinator) }) {
		return signIns(), nil
	}
	scenario, err := prepared()
	if err != nil {
		return nil, fmt.Errorf("prepare the sample season: %w", err)
	}
	l := loader{Stores: s, Scenario: scenario}
	if err := errors.Join(l.clear(ctx, known), l.load(ctx, known)); err != nil {
		return nil, fmt.Errorf("load the sample season: %w", err)
	}
	return signIns(), nil
}

// clear calls off what a load that was cut short has left.
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
