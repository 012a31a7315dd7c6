package card

import (
	"context"
	"time"

	"saltbush/internal/ref"
)

// Line is an action line.
type Line struct {
	Text string
	// Unread is why the card cannot be read; nil if it can.
	Unread error
}

// Store stores sealed cards. Methods about one card return an error that wraps
// fault.ErrNotFound if there is none.
type Store interface {
	// ActionLines returns the action lines of a hike by person. A card without an action line
	// has an empty text. The caller must check who may see privacy.KindAction.
	ActionLines(ctx context.Context, id ref.Hike) (map[string]Line, error)

	// OwnCard returns a card to the person who wrote it. This is not logged as an opening.
	OwnCard(ctx context.Context, of Of) (Card, error)

	// SaveCard stores a card. A blank card deletes the stored one.
	SaveCard(ctx context.Context, of Of, c Card, now time.Time) error

	// OpenCard stores the opening, then returns the card. The opening is stored even if the
	// card cannot be read. The caller must check MayOpen.
	OpenCard(ctx context.Context, o Opening) (Card, error)

	// OpeningsOf returns the openings of a person's card, newest first.
	OpeningsOf(ctx context.Context, of Of) ([]Opening, error)

	// Openings returns the newest n openings of all cards.
	Openings(ctx context.Context, n int) ([]Opening, error)

	// HoldsCardKey reports whether there is a key to encrypt cards.
	HoldsCardKey() bool
}
