package signups

import (
	"errors"
	"net/http"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ShowCard shows the form in which the holder of a private link writes their own medical card.
func (s *Handlers) ShowCard(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	c, err := s.Cards.OwnCard(r.Context(), kit.OfPlace(place))
	lost := errors.Is(err, card.ErrOtherKey) || errors.Is(err, card.ErrDamaged)
	if err != nil && !lost && !errors.Is(err, fault.ErrNotFound) {
		return err
	}
	return s.renderOwnCard(w, r, http.StatusOK, CardForm().Filled(ui.FormState{}, c), lost)
}

func (s *Handlers) renderOwnCard(w http.ResponseWriter, r *http.Request, status int, fields ui.Fields,
	lost bool) error {
	place := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	return s.Render(w, r, status, view.CardForm(s.cardFormPage(r, h, place, fields, lost)))
}

// SaveCard seals what the person wrote. An empty form deletes the card.
func (s *Handlers) SaveCard(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	if err := card.MayWrite(h, place); err != nil {
		return err
	}
	f := kit.NewForm(r)
	var c card.Card
	CardForm().Read(f, &c)
	invalid, err := f.Invalid(c.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderOwnCard(w, r, http.StatusUnprocessableEntity, CardForm().Fields(kit.FormStateOf(r, invalid)),
			false)
	}
	if err := s.Cards.SaveCard(r.Context(), kit.OfPlace(place), c, s.Now()); err != nil {
		return err
	}
	said := "Your medical card is written and sealed."
	if c.Blank() {
		said = "Nothing was written, so you have no medical card."
	}
	return s.SeeOther(w, r, "/place/"+kit.SecretIn(r)+"#card", said)
}

// RemoveCard deletes the card. A person may do that at any time.
func (s *Handlers) RemoveCard(w http.ResponseWriter, r *http.Request) error {
	if err := s.Cards.SaveCard(r.Context(), kit.OfPlace(kit.PlaceIn(r)), card.Card{}, s.Now()); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/place/"+kit.SecretIn(r)+"#card", "Your medical card is deleted.")
}
