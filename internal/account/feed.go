package account

import (
	"context"
	"fmt"
	"time"
)

// MaxFeeds is how many calendar feeds an account has at most.
// House judgement: a phone, a desk and a family, with room.
const MaxFeeds = 8

// ErrTooManyFeeds is returned where an account has as many feeds as it may.
var ErrTooManyFeeds = fmt.Errorf("there are %d calendar addresses already: end one that nothing reads", MaxFeeds)

// Feed is a private address under which a calendar program follows the hikes that an
// account has a part in. The secret is shown once; its hash is kept.
type Feed struct {
	ID       int64
	Owner    ID
	Name     string // what reads it, such as "Phone"
	Made     time.Time
	LastRead time.Time // to the hour; zero: never
}

// FeedStore keeps feeds.
type FeedStore interface {
	// Feeds lists the feeds of an account, the newest first.
	Feeds(ctx context.Context, owner ID) ([]Feed, error)
	// AddFeed keeps a feed under the hash of its secret, else ErrTooManyFeeds.
	AddFeed(ctx context.Context, f Feed, h Hash) error
	// ReadFeed finds a feed and notes that it was read at now, else ErrLinkUnknown.
	ReadFeed(ctx context.Context, h Hash, now time.Time) (Feed, error)
	// EndFeed ends one feed of an account, else ErrNotFound.
	EndFeed(ctx context.Context, owner ID, id int64) error
}
