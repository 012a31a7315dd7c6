package card

import (
	"context"
	"time"

	"saltbush/internal/ref"
)

// Line is an action line, or that it cannot be read.
type Line struct {
	Text string
	// Unread says why a card that is there cannot be read; nil where it can.
	Unread error
}

// Store keeps cards sealed. Methods that name one card return an error wrapping
// hike.ErrNotFound where there is none.
type Store interface {
	// ActionLines reads the action lines of a hike by person. A card without one is there
	// with an empty text. The caller has asked who sees hike.KindAction.
	ActionLines(ctx context.Context, id ref.Hike) (map[string]Line, error)
	// OwnCard reads a card for the person themselves, which is no opening.
	OwnCard(ctx context.Context, of Of) (Card, error)
	// SaveCard replaces a card; a blank one takes it away.
	SaveCard(ctx context.Context, of Of, c Card, now time.Time) error
	// OpenCard keeps the opening, then reads the card. The opening stays on record also
	// where the card cannot be read. The caller has asked MayOpen.
	OpenCard(ctx context.Context, o Opening) (Card, error)
	// OpeningsOf lists the openings of a person's card, the newest first.
	OpeningsOf(ctx context.Context, of Of) ([]Opening, error)
	// Openings lists the newest n openings of all cards.
	Openings(ctx context.Context, n int) ([]Opening, error)
	// HoldsCardKey reports whether there is a key to seal and open with.
	HoldsCardKey() bool
}
