package account

import (
	"context"
	"fmt"
	"time"
)

// MaxFeeds is how many calendar feeds an account may have.
// Our judgment: enough for a phone, a computer and a family.
const MaxFeeds = 8

// ErrTooManyFeeds is returned for an account that has MaxFeeds already.
var ErrTooManyFeeds = fmt.Errorf("there are %d calendar addresses already: end one that nothing reads", MaxFeeds)

// Feed is a private address at which a calendar app reads the hikes that an account staffs.
// The secret is shown once; only its hash is stored.
type Feed struct {
	ID       int64
	Owner    ID
	Name     string // the app that reads it, such as "Phone"
	Made     time.Time
	LastRead time.Time // to the hour; zero: never
}

// FeedStore stores feeds.
type FeedStore interface {
	// Feeds lists the feeds of an account, newest first.
	Feeds(ctx context.Context, owner ID) ([]Feed, error)

	// AddFeed stores a feed under the hash of its secret, or returns ErrTooManyFeeds.
	AddFeed(ctx context.Context, f Feed, h Hash) error

	// ReadFeed finds a feed and records that it was read at now. It is ErrLinkUnknown if there
	// is none.
	ReadFeed(ctx context.Context, h Hash, now time.Time) (Feed, error)

	// EndFeed deletes one feed of an account, or returns ErrNotFound.
	EndFeed(ctx context.Context, owner ID, id int64) error
}
