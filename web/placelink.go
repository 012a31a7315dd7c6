package web

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// House judgement: one household asks a few times; nobody is to be flooded with mail.
const linkTries = 5

// showLostLink asks a participant for the address that they signed up with.
func (s *signupsHandlers) showLostLink(w http.ResponseWriter, r *http.Request) error {
	return s.renderLostLink(w, r, http.StatusOK, view.Answers{}, false)
}

func (s *signupsHandlers) renderLostLink(w http.ResponseWriter, r *http.Request, status int, a view.Answers, sent bool) error {
	p := view.LostLinkPage{Page: s.page(r, "A new link to your place", "Hikes"), Sent: sent,
		Email: a.Asked(view.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email", Hint: "The one that you signed up with."})}
	return s.render(w, r, status, view.LostLink(p))
}

// sendNewLinks answers the same, and as soon, whether or not the address is known: what
// there is to send is found after the answer.
func (s *signupsHandlers) sendNewLinks(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r)
	email, err := account.CleanEmail(f.text("email"))
	if err != nil {
		f.faults.Add("email", "Give an address that mail can reach, such as you@example.org.")
		return s.renderLostLink(w, r, http.StatusUnprocessableEntity, answers(r, f.faults), false)
	}
	go s.renewPlaces(context.WithoutCancel(r.Context()), email)
	return s.renderLostLink(w, r, http.StatusOK, view.Answers{}, true)
}

// renewPlaces mails a new link for each coming place of the address.
func (s *signupsHandlers) renewPlaces(ctx context.Context, email string) {
	ids, err := s.Accounts.PlacesOf(ctx, email, s.Now())
	for _, id := range ids {
		if err == nil {
			err = s.renewPlace(ctx, id)
		}
	}
	if err != nil {
		s.Log.Error("renew links to places", "err", err)
	}
}

func (s *signupsHandlers) renewPlace(ctx context.Context, id string) error {
	p, err := s.Hikes.SignUpByID(ctx, id)
	if err != nil {
		return err
	}
	h, err := s.Hikes.Hike(ctx, p.Hike)
	if err != nil {
		return err
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	m, err := message.NewPlaceLink(s.notify.letter(ctx, h, p, s.BaseURL+placePath(secret)))
	if err != nil {
		return err
	}
	m.Key += "/" + hex.EncodeToString(hash[:4]) // every new link is a mail of its own
	if err := s.Accounts.RenewPlace(ctx, id, hash); err != nil {
		return err
	}
	return s.Outbox.Queue(ctx, s.Now(), m)
}

// standsOpen is nil while what is kept of the people of the hike is still kept; after
// that a link to a place has expired.
func (s *Kit) standsOpen(ctx context.Context, place hike.SignUp) error {
	h, err := s.hikes.Hike(ctx, place.Hike)
	if err == nil && !s.Now().Before(h.Start.Add(h.Rules().KeepContacts)) {
		return account.ErrLinkExpired
	}
	return err
}
