package notify

import (
	"context"
	"maps"
	"slices"
	"time"

	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// snapshot is a posted hike with the calendar entries of its confirmed places, by the
// sign-up's ID. It is empty for a hike that is not posted.
type snapshot struct {
	hike.Data
	entries map[string]calendar.Event
}

func (n *Notifier) snapshot(ctx context.Context, id ref.Hike) (snapshot, error) {
	h, err := n.store.Hike(ctx, id)
	if err != nil || h.State != hike.Posted {
		return snapshot{}, err
	}
	s := snapshot{entries: map[string]calendar.Event{}}
	s.Data, err = n.load(ctx, h)
	for _, p := range s.SignUps {
		if p.State == signup.Confirmed {
			s.entries[p.ID] = n.PlaceEvent(ctx, s.Data, p)
		}
	}
	return s, err
}

// NotifyOnChange takes a snapshot of a hike before it changes. The function that it returns
// mails the difference to everybody with a confirmed place. Errors are logged: the change
// stands.
func (n *Notifier) NotifyOnChange(ctx context.Context, id ref.Hike) (notify func()) {
	before, err := n.snapshot(ctx, id)
	if err == nil {
		// Numbers the entries as they stand, so that the change gets a higher number.
		_, err = n.Number(ctx, slices.Collect(maps.Values(before.entries))...)
	}
	if err != nil {
		n.log.Error("note a hike before it changes", "hike", id, "err", err)
		return func() {}
	}
	return func() {
		if err := n.notifyChanged(ctx, id, before); err != nil {
			n.log.Error("tell of a hike changed", "hike", id, "err", err)
		}
	}
}

// Our judgment: every forecast moves the estimated end a little, and 15 minutes make no
// difference to those who wait at home.
const endTolerance = 15 * time.Minute

func (n *Notifier) notifyChanged(ctx context.Context, id ref.Hike, before snapshot) error {
	after, err := n.snapshot(ctx, id)
	if err != nil {
		return err
	}
	compose := func(m message.Place) (message.Mail, error) {
		return message.Moved(m, changesOf(before.Data, after.Data))
	}
	var letters []PlaceLetter
	for _, p := range after.SignUps {
		was, had := before.entries[p.ID]
		is, has := after.entries[p.ID]
		if had && has && is.Differs(was, endTolerance) {
			letters = append(letters, PlaceLetter{p, "", compose})
		}
	}
	mails, err := n.PlaceMails(ctx, after.Data, letters...)
	if err != nil {
		return err
	}
	return n.outbox.Queue(ctx, n.now(), mails...)
}

// changesOf lists what differs between two versions of a hike, a sentence each.
func changesOf(before, after hike.Data) []string {
	var list []string
	for _, c := range hike.Changes(hike.FactsOf(before), hike.FactsOf(after), after.Zone(), hike.InBothUnits) {
		list = append(list, c.Says())
	}
	return list
}
