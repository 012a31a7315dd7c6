package web

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// showOwnCard is the form in which a person writes their own card, by their private link.
func (s *Server) showOwnCard(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	c, err := s.Cards.OwnCard(r.Context(), ofPlace(place))
	lost := errors.Is(err, card.ErrOtherKey) || errors.Is(err, card.ErrDamaged)
	if err != nil && !lost && !errors.Is(err, hike.ErrNotFound) {
		return err
	}
	return s.renderOwnCard(w, r, http.StatusOK, view.Answers{Typed: cardValues(c)}, lost)
}

func (s *Server) renderOwnCard(w http.ResponseWriter, r *http.Request, status int, a view.Answers, lost bool) error {
	place := placeIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	return s.render(w, r, status, view.CardForm(s.cardFormPage(r, h, place, a, lost)))
}

// saveOwnCard seals what the person wrote. Nothing written takes the card away.
func (s *Server) saveOwnCard(w http.ResponseWriter, r *http.Request) error {
	place := placeIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	if err := card.MayWrite(h, place); err != nil {
		return err
	}
	f := newForm(r)
	c := readCard(f)
	invalid, err := f.invalid(c.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderOwnCard(w, r, http.StatusUnprocessableEntity, answers(r, invalid), false)
	}
	if err := s.Cards.SaveCard(r.Context(), ofPlace(place), c, s.Now()); err != nil {
		return err
	}
	said := "Your medical card is written and sealed."
	if c.Blank() {
		said = "Nothing was written, so you have no medical card."
	}
	return s.seeOther(w, r, "/place/"+secretIn(r)+"#card", said)
}

// removeOwnCard takes the card away. A person may do that at any time.
func (s *Server) removeOwnCard(w http.ResponseWriter, r *http.Request) error {
	if err := s.Cards.SaveCard(r.Context(), ofPlace(placeIn(r)), card.Card{}, s.Now()); err != nil {
		return err
	}
	return s.seeOther(w, r, "/place/"+secretIn(r)+"#card", "Your medical card is deleted.")
}

func ofPlace(p hike.SignUp) card.Of { return card.Of{Hike: p.Hike, Person: p.ID} }

func readCard(f form) card.Card {
	return card.Card{Action: f.paragraph("action"), Details: card.Details{
		Born: f.text("born"), Conditions: f.paragraph("conditions"), Allergies: f.paragraph("allergies"), Carried: f.paragraph("carried"),
		Medicines: f.paragraph("medicines"), HeatHistory: f.paragraph("heat_history"), Communication: f.paragraph("communication"), Doctor: f.text("doctor"),
	}}
}

func cardValues(c card.Card) map[string][]string {
	return map[string][]string{
		"action": {c.Action}, "born": {c.Born}, "conditions": {c.Conditions}, "allergies": {c.Allergies}, "carried": {c.Carried},
		"medicines": {c.Medicines}, "heat_history": {c.HeatHistory}, "communication": {c.Communication}, "doctor": {c.Doctor},
	}
}

// cardAsked is a request to open somebody's card, by somebody entitled to.
type cardAsked struct {
	watched
	place  hike.SignUp
	by     string
	ground card.Ground
}

// path is where the card lies for this reader; back is the page they came from.
func (c cardAsked) path() string { return cardPath(c.watcherIn, c.place.ID) }

func cardPath(v watcherIn, person string) string {
	if v.secret != "" {
		return "/watch/" + v.secret + "/cards/" + person
	}
	return hikePath(v.id) + "/cards/" + person
}

func (c cardAsked) back() string {
	switch c.ground {
	case card.AsLeader:
		return rollPath(c.Hike.ID)
	case card.AsSafety:
		return "/cards"
	}
	return c.watcherIn.path("")
}

// askedCard finds out whose card is asked for and whether the reader may open it now.
func (s *Server) askedCard(r *http.Request) (cardAsked, error) {
	v, err := s.watcherOf(r)
	if err != nil {
		return cardAsked{}, err
	}
	x, err := s.watchedBy(r, v)
	if err != nil {
		return cardAsked{}, err
	}
	reader := s.readerOf(r, x)
	c := cardAsked{watched: x, by: reader.Name}
	ground, ok := card.MayOpen(reader, x.situation(s.Now()), s.Now())
	if !ok {
		return c, fmt.Errorf("open a medical card of hike %d: %w", v.id, account.ErrNotAllowed)
	}
	c.ground = ground
	for _, p := range x.signUps {
		if p.ID == personIn(r) && p.Carded {
			c.place = p
			return c, nil
		}
	}
	return c, fmt.Errorf("card of %q: %w", personIn(r), hike.ErrNotFound)
}

// readerOf is whoever asks, as the rules of cards see them.
func (s *Server) readerOf(r *http.Request, x watched) card.Reader {
	took := x.Took(x.name, s.Now())
	if x.secret != "" {
		return card.Reader{Name: x.name, Linked: true, Took: took}
	}
	a, _ := viewerOf(r).Account()
	reader := card.ReaderOf(a, x.Hike)
	reader.Took = took
	return reader
}

// situation is how the hike stands for the rules of cards.
func (x watched) situation(now time.Time) card.Situation {
	return card.Situation{Hike: x.Hike, Alarm: x.Window(now).Alarm, Incident: x.Incident()}
}

func (s *Server) showCardAsk(w http.ResponseWriter, r *http.Request) error {
	return s.renderCardAsk(w, r, http.StatusOK, view.Answers{})
}

func (s *Server) renderCardAsk(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	c, err := s.askedCard(r)
	if err != nil {
		return err
	}
	return s.render(w, r, status, view.CardAsk(s.cardAskPage(r, c, a)))
}

// openCard keeps the opening, tells the person, and shows the card in the answer itself:
// no address of it can be kept or passed on.
func (s *Server) openCard(w http.ResponseWriter, r *http.Request) error {
	c, err := s.askedCard(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	o := card.Opening{ID: uuid.NewString(), Of: ofPlace(c.place), By: c.by, Ground: c.ground, Reason: f.paragraph("reason"), At: s.Now()}
	invalid, err := f.invalid(o.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCardAsk(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	opened, err := s.Cards.OpenCard(r.Context(), o)
	unread := errors.Is(err, card.ErrOtherKey) || errors.Is(err, card.ErrDamaged) || errors.Is(err, card.ErrNoKey)
	if err != nil && !unread {
		return err
	}
	if !errors.Is(err, card.ErrNoKey) { // without a key nothing was opened or kept
		s.tellOpened(r, c, o)
	}
	return s.render(w, r, http.StatusOK, view.CardOpen(s.cardOpenPage(r, c, o, opened, unread)))
}

// House judgement: a mail that says that a card was opened is worth sending for a month.
const openedMailFor = 30 * 24 * time.Hour

// tellOpened writes to the person whose card was opened. Their own page says the same, and
// why, so a mail that cannot be queued is logged and undoes nothing.
func (s *Server) tellOpened(r *http.Request, c cardAsked, o card.Opening) {
	letter := s.letter(r.Context(), c.Hike, c.place, "")
	letter.Ref, letter.UselessAt = o.ID, s.Now().Add(openedMailFor)
	m, err := message.CardOpened(letter, o.By, string(o.Ground), view.Moment(o.At, c.zone()))
	s.send(r.Context(), m, err)
}
