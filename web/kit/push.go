package kit

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/message"
	"saltbush/web/ui"
)

// PushStore keeps the browsers that alarms are pushed to.
type PushStore interface {
	// PushKeys returns the key pair by which push services know this site.
	PushKeys(ctx context.Context, now time.Time) (message.PushKeys, error)
	// Subscribe stores a browser of an account. It may return a fault.Refusal.
	Subscribe(ctx context.Context, id account.ID, s message.Subscription) error
	// SubscriptionsOf lists an account's browsers, including those that have ended.
	SubscriptionsOf(ctx context.Context, id account.ID) ([]message.Subscription, error)
	// Unsubscribe deletes one of an account's browsers.
	Unsubscribe(ctx context.Context, id account.ID, subscription int64) error
}

// WakeText is the part of the desk and of the board where alarms on this phone are turned on. It is
// nil where that is not possible.
func (s *Kit) WakeText(r *http.Request) (*ui.WakeText, error) {
	a, ok := ViewerOf(r).Account()
	if s.wakes == nil || !ok {
		return nil, nil
	}
	keys, err := s.wakes.PushKeys(r.Context(), s.Now())
	if err != nil {
		return nil, err
	}
	list, err := s.wakes.SubscriptionsOf(r.Context(), a.ID)
	if err != nil {
		return nil, err
	}
	zone := s.Zone(r)
	t := &ui.WakeText{Key: keys.Public(), URL: "/wake", Demo: s.Demo}
	for _, b := range list {
		line := ui.WakeBrowser{Name: b.Label, Since: "since " + format.Moment(b.Made, zone),
			Remove: ui.ButtonText{Label: "Remove", URL: fmt.Sprintf("/wake/%d/remove", b.ID), About: b.Label}}
		if !b.Ended.IsZero() {
			line.Ended = "Not woken any more since " + format.Moment(b.Ended, zone) + ": " + b.Why +
				". Remove it, and ask for it again on that phone."
		} else {
			t.Try = ui.ButtonText{Label: "Wake it now, to try", URL: "/wake/try"}
		}
		t.Browsers = append(t.Browsers, line)
	}
	return t, nil
}
