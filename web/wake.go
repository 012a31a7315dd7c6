package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/assets"
	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// WakeStore keeps the browsers that asked to be woken by alarms.
type WakeStore interface {
	// PushKeys returns the pair by which push services know this site.
	PushKeys(ctx context.Context, now time.Time) (message.PushKeys, error)
	// Subscribe stores that a browser wakes an account, or a hike.Refusal.
	Subscribe(ctx context.Context, id account.ID, s message.Subscription) error
	// SubscriptionsOf lists an account's browsers, those that have ended too.
	SubscriptionsOf(ctx context.Context, id account.ID) ([]message.Subscription, error)
	// Unsubscribe forgets one of an account's browsers.
	Unsubscribe(ctx context.Context, id account.ID, subscription int64) error
}

// serveWakeWorker serves the worker that shows alarms. Its scope holds no page, so that no
// page ever passes through it.
func serveWakeWorker(w http.ResponseWriter, r *http.Request) {
	script := r.Clone(r.Context())
	script.URL.Path = assets.Prefix + "wake-worker.js"
	assets.Handler().ServeHTTP(w, script)
}

// wakeText is the part of the desk, or of the board, where a phone is asked to be woken; nil where none can
// be.
func (s *Kit) wakeText(r *http.Request) (*view.WakeText, error) {
	a, ok := viewerOf(r).Account()
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
	zone := s.zone(r)
	t := &view.WakeText{Key: keys.Public(), URL: "/wake", Demo: s.Demo}
	for _, b := range list {
		line := view.WakeBrowser{Name: b.Label, Since: "since " + format.Moment(b.Made, zone),
			Remove: view.ButtonText{Label: "Remove", URL: fmt.Sprintf("/wake/%d/remove", b.ID), About: b.Label}}
		if !b.Ended.IsZero() {
			line.Ended = "Not woken any more since " + format.Moment(b.Ended, zone) + ": " + b.Why + ". Remove it, and ask for it again on that phone."
		} else {
			t.Try = view.ButtonText{Label: "Wake it now, to try", URL: "/wake/try"}
		}
		t.Browsers = append(t.Browsers, line)
	}
	return t, nil
}

// House judgement: what a browser calls itself is cut to a line.
const longestLabel = 80

// subscribe stores the browser that asks; its script reads the answer.
func (s *watchHandlers) subscribe(w http.ResponseWriter, r *http.Request) error {
	a, _ := viewerOf(r).Account()
	if s.Wakes == nil {
		return hike.ErrNotFound
	}
	f := newForm(r)
	label := []rune(format.OrElse(f.text("label"), "a browser"))
	b := message.Subscription{Endpoint: f.text("endpoint"), Label: string(label[:min(len(label), longestLabel)]), Made: s.Now()}
	var keyErr, authErr error
	b.P256dh, keyErr = message.FromBrowser(f.text("p256dh"))
	b.Auth, authErr = message.FromBrowser(f.text("auth"))
	if err := errors.Join(keyErr, authErr, b.Check(s.LocalPush)); err != nil {
		s.Log.Warn("refused a browser to wake", "err", err)
		http.Error(w, "This browser's push service gives an address that we do not send to.", http.StatusUnprocessableEntity)
		return nil
	}
	var refusal hike.Refusal
	if err := s.Wakes.Subscribe(r.Context(), a.ID, b); errors.As(err, &refusal) {
		http.Error(w, string(refusal), http.StatusUnprocessableEntity)
		return nil
	} else if err != nil {
		return err
	}
	s.Sessions.Put(r.Context(), "flash", "This browser is woken by alarms that go to you. Try it.")
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (s *watchHandlers) unsubscribe(w http.ResponseWriter, r *http.Request) error {
	a, _ := viewerOf(r).Account()
	id, err := strconv.ParseInt(chi.URLParam(r, "browser"), 10, 64)
	if err != nil || s.Wakes == nil {
		return hike.ErrNotFound
	}
	if err := s.Wakes.Unsubscribe(r.Context(), a.ID, id); err != nil {
		return err
	}
	return s.seeOther(w, r, home(a)+"#wake", "That browser is not woken any more.")
}

// tryWake wakes the viewer's own browsers, by the way on which alarms go.
func (s *watchHandlers) tryWake(w http.ResponseWriter, r *http.Request) error {
	a, _ := viewerOf(r).Account()
	if s.Wakes == nil {
		return hike.ErrNotFound
	}
	list, err := s.Wakes.SubscriptionsOf(r.Context(), a.ID)
	if err != nil {
		return err
	}
	var mails []message.Mail
	for _, b := range list {
		if !b.Ended.IsZero() {
			continue
		}
		key := fmt.Sprintf("wake-try/%d/%d", b.ID, s.Now().UnixNano())
		text, err := json.Marshal(message.Wake{Key: key, Title: "Saltbush wakes you", Body: "This is a trial. An alarm looks like it.", URL: home(a)})
		if err != nil {
			return err
		}
		mails = append(mails, message.Mail{Channel: message.ByPush, To: strconv.FormatInt(b.ID, 10), Subject: "Saltbush wakes you", Text: string(text), Key: key})
	}
	if err := s.Outbox.Queue(r.Context(), s.Now(), mails...); err != nil {
		return err
	}
	return s.seeOther(w, r, home(a)+"#wake", "On its way to "+format.Count(len(mails), "browser", "browsers")+". If nothing shows within a minute, look at the phone's settings for notifications.")
}
