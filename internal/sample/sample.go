// Package sample is the demo scenario: an invented reserve, its trails, people and a
// season of hikes. Nothing and nobody in it is real.
package sample

import (
	"context"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
)

// Stores are where the scenario goes.
type Stores struct {
	Hikes    hike.Store
	Rolls    roll.Store
	Accounts account.Store
	Outbox   message.Outbox
}

// SignIn is an account that a visitor of the demo may use.
type SignIn struct {
	As       string // coordinator or leader
	Email    string
	Password string
}

// Load puts the scenario, laid out around now, into an empty store, and returns the
// accounts to try. Where any account exists already it stores nothing.
func Load(ctx context.Context, s Stores, now time.Time) ([]SignIn, error) {
	return nil, nil
}
