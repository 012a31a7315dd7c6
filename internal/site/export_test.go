package site

import (
	"context"

	"saltbush/internal/message"
)

// Internals for the tests of this package.

// SendHeartbeat calls the monitor if it is time, without a pass of the watcher.
func (s *Site) SendHeartbeat(ctx context.Context) error { return s.watcher.sendHeartbeat(ctx) }

// DeliverPushes tries to send each queued push once.
func (s *Site) DeliverPushes(ctx context.Context) (message.Report, error) {
	return message.Deliver(ctx, s.db.OutboxOf(message.ByPush), s.push, s.now, pushPolicy())
}

// Push sends a push as a site does. Local allows loopback.
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

// CheckHeartbeat returns the error of a site with this address of a monitor.
func CheckHeartbeat(address string) error {
	_, err := newHeartbeat(address, nil)
	return err
}
