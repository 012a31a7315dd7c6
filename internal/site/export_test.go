package site

import (
	"context"

	"saltbush/internal/message"
)

// What tests of this package reach past the interface.

// TellOutside calls the outside monitor where it is time, without a pass before it.
func (s *Site) TellOutside(ctx context.Context) error { return s.watcher.tellOutside(ctx) }

// DeliverPushes goes through the queue of pushes once.
func (s *Site) DeliverPushes(ctx context.Context) (message.Report, error) {
	return message.Deliver(ctx, s.db.OutboxOf(message.ByPush), s.push, s.now, pushPolicy())
}

// Push sends a push to a subscription as sites do; local allows loopback.
func Push(ctx context.Context, s message.Subscription, text []byte, local bool) (status int, err error) {
	keys, err := message.NewPushKeys()
	if err != nil {
		return 0, err
	}
	p, err := newPusher(keys, "https://hikes.example.org", local)
	if err != nil {
		return 0, err
	}
	return p.Push(ctx, s, text)
}

// CheckHeartbeat is what a site says to the address of a monitor.
func CheckHeartbeat(address string) error {
	_, err := newHeart(address, nil)
	return err
}
