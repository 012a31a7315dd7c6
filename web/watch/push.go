package watch

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"saltbush/assets"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/message"
	"saltbush/web/kit"
)

// Our judgment: the name that a browser gives itself is cut to a line.
const maxLabel = 80

// Subscribe stores a browser that wants push messages. A script reads the answer.
func (s *Handlers) Subscribe(w http.ResponseWriter, r *http.Request) error {
	a, _ := kit.ViewerOf(r).Account()
	if s.Wakes == nil {
		return fault.ErrNotFound
	}
	f := kit.NewForm(r)
	label := []rune(format.OrElse(f.Text("label"), "a browser"))
	b := message.Subscription{Endpoint: f.Text("endpoint"), Label: string(label[:min(len(label), maxLabel)]),
		Made: s.Now()}
	var keyErr, authErr error
	b.P256dh, keyErr = message.FromBrowser(f.Text("p256dh"))
	b.Auth, authErr = message.FromBrowser(f.Text("auth"))
	if err := errors.Join(keyErr, authErr, b.Check(s.LocalPush)); err != nil {
		s.Log.Warn("refused a browser to wake", "err", err)
		http.Error(w, "This browser's push service gives an address that we do not send to.",
			http.StatusUnprocessableEntity)
		return nil
	}
	var refusal fault.Refusal
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

// Unsubscribe deletes a browser's subscription.
func (s *Handlers) Unsubscribe(w http.ResponseWriter, r *http.Request) error {
	a, _ := kit.ViewerOf(r).Account()
	id, err := strconv.ParseInt(chi.URLParam(r, "browser"), 10, 64)
	if err != nil || s.Wakes == nil {
		return fault.ErrNotFound
	}
	if err := s.Wakes.Unsubscribe(r.Context(), a.ID, id); err != nil {
		return err
	}
	return s.SeeOther(w, r, kit.Home(a)+"#wake", "That browser is not woken any more.")
}

// TryWake sends a trial to the viewer's own browsers, in the same way as an alarm.
func (s *Handlers) TryWake(w http.ResponseWriter, r *http.Request) error {
	a, _ := kit.ViewerOf(r).Account()
	if s.Wakes == nil {
		return fault.ErrNotFound
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
		text, err := json.Marshal(message.PushText{Key: key, Title: "Saltbush wakes you",
			Body: "This is a trial. An alarm looks like it.", URL: kit.Home(a)})
		if err != nil {
			return err
		}
		mails = append(mails, message.Mail{Channel: message.ByPush, To: strconv.FormatInt(b.ID, 10),
			Subject: "Saltbush wakes you", Text: string(text), Key: key})
	}
	if err := s.Outbox.Queue(r.Context(), s.Now(), mails...); err != nil {
		return err
	}
	return s.SeeOther(w, r, kit.Home(a)+"#wake", "On its way to "+format.Count(len(mails), "browser", "browsers")+
		". If nothing shows within a minute, look at the phone's settings for notifications.")
}

// ServeWakeWorker serves the service worker that shows alarms. Its scope contains no page, so
// that it never handles one.
func ServeWakeWorker(w http.ResponseWriter, r *http.Request) {
	script := r.Clone(r.Context())
	script.URL.Path = assets.Prefix + "wake-worker.js"
	assets.Handler().ServeHTTP(w, script)
}
