package signups

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// LinkTries is how many links a minute one address may ask for. Our judgment: a household asks a
// few times, and nobody is to be flooded with mail.
const LinkTries = 5

// ShowLostLink asks a participant for the address with which they signed up.
func (s *Handlers) ShowLostLink(w http.ResponseWriter, r *http.Request) error {
	return s.renderLostLink(w, r, http.StatusOK, ui.FormState{}, false)
}

func (s *Handlers) renderLostLink(w http.ResponseWriter, r *http.Request, status int, a ui.FormState, sent bool) error {
	p := ui.LostLinkPage{Page: s.Page(r, "A new link to your place", "Hikes"), Sent: sent,
		Email: a.Bind(ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email",
			Hint: "The one that you signed up with."})}
	return s.Render(w, r, status, ui.LostLink(p))
}

// SendNewLinks answers in the same way and time whether or not the address is known. It looks up
// the places after it has answered.
func (s *Handlers) SendNewLinks(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	email, err := account.CleanEmail(f.Text("email"))
	if err != nil {
		f.Faults.Add("email", "Give an address that mail can reach, such as you@example.org.")
		return s.renderLostLink(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), false)
	}
	go s.renewPlaces(context.WithoutCancel(r.Context()), email)
	return s.renderLostLink(w, r, http.StatusOK, ui.FormState{}, true)
}

// renewPlaces mails a new link for each future place of the address.
func (s *Handlers) renewPlaces(ctx context.Context, email string) {
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

func (s *Handlers) renewPlace(ctx context.Context, id string) error {
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
	m, err := message.NewPlaceLink(s.notify.Letter(ctx, h, p, s.BaseURL+paths.Place(secret)))
	if err != nil {
		return err
	}
	m.Key += "/" + hex.EncodeToString(hash[:4]) // every new link is its own mail
	if err := s.Accounts.RenewPlace(ctx, id, hash); err != nil {
		return err
	}
	return s.Outbox.Queue(ctx, s.Now(), m)
}
