package watch

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// cardRequest is a request to open somebody's card, by somebody entitled to.
type cardRequest struct {
	watchData
	place  signup.SignUp
	by     string
	ground card.Ground
}

// path is where the card lies for this reader; back is the page they came from.
func (c cardRequest) path() string { return cardPath(c.watchViewer, c.place.ID) }

func cardPath(v watchViewer, person string) string {
	if v.secret != "" {
		return "/watch/" + v.secret + "/cards/" + person
	}
	return paths.Hike(v.id) + "/cards/" + person
}

func (c cardRequest) back() string {
	switch c.ground {
	case card.AsLeader:
		return paths.Roll(c.Hike.ID)
	case card.AsSafety:
		return "/cards"
	}
	return c.watchViewer.path("")
}

// cardRequestOf finds out whose card is asked for and whether the reader may open it now.
func (s *Handlers) cardRequestOf(r *http.Request) (cardRequest, error) {
	v, err := s.viewerOf(r)
	if err != nil {
		return cardRequest{}, err
	}
	x, err := s.loadWatch(r, v)
	if err != nil {
		return cardRequest{}, err
	}
	reader, err := s.readerOf(r, x)
	if err != nil {
		return cardRequest{}, err
	}
	c := cardRequest{watchData: x, by: reader.Name}
	ground, ok := card.MayOpen(reader, x.situation(s.Now()), s.Now())
	if !ok {
		return c, fmt.Errorf("open a medical card of hike %d: %w", v.id, account.ErrNotAllowed)
	}
	c.ground = ground
	for _, p := range x.SignUps {
		if p.ID == kit.PersonIn(r) && p.Carded {
			c.place = p
			return c, nil
		}
	}
	return c, fmt.Errorf("card of %q: %w", kit.PersonIn(r), fault.ErrNotFound)
}

// readerOf returns the viewer as a reader of cards.
func (s *Handlers) readerOf(r *http.Request, x watchData) (card.Reader, error) {
	took := x.Took(x.name, s.Now())
	if x.secret != "" {
		as, err := s.linkCapacity(r, x.Hike, x.watchViewer)
		return card.Reader{Name: x.name, OnCall: as == privacy.AsOnCall, Took: took}, err
	}
	a, _ := kit.ViewerOf(r).Account()
	reader := card.ReaderOf(a, x.Hike)
	reader.Took = took
	return reader, nil
}

// situation is how the hike stands for the rules of cards.
func (x watchData) situation(now time.Time) card.Situation {
	return card.Situation{Hike: x.Hike, Alarm: x.Window(now).Alarm, Incident: x.Incident()}
}

// ShowCardAsk asks for the reason before a medical card is opened.
func (s *Handlers) ShowCardAsk(w http.ResponseWriter, r *http.Request) error {
	return s.renderCardAsk(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderCardAsk(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	c, err := s.cardRequestOf(r)
	if err != nil {
		return err
	}
	return s.Render(w, r, status, view.CardAsk(s.cardAskPage(r, c, a)))
}

// OpenCard keeps the opening, tells the person, and shows the card in the answer itself:
// no address of it can be kept or passed on.
func (s *Handlers) OpenCard(w http.ResponseWriter, r *http.Request) error {
	c, err := s.cardRequestOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	o := card.Opening{ID: uuid.NewString(), Of: kit.OfPlace(c.place), By: c.by, Ground: c.ground,
		Reason: f.Paragraph("reason"), At: s.Now()}
	invalid, err := f.Invalid(o.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderCardAsk(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	opened, err := s.Cards.OpenCard(r.Context(), o)
	unread := errors.Is(err, card.ErrOtherKey) || errors.Is(err, card.ErrDamaged) || errors.Is(err, card.ErrNoKey)
	if err != nil && !unread {
		return err
	}
	if !errors.Is(err, card.ErrNoKey) { // without a key nothing was opened or kept
		s.notifyOpened(r, c, o)
	}
	return s.Render(w, r, http.StatusOK, view.CardOpen(s.cardOpenPage(r, c, o, opened, unread)))
}

// House judgment: an email that says that a card was opened is worth sending for a month.
const openedMailFor = 30 * 24 * time.Hour

// notifyOpened writes to the person whose card was opened. Their own page says the same, and
// why, so a mail that cannot be queued is logged and undoes nothing.
func (s *Handlers) notifyOpened(r *http.Request, c cardRequest, o card.Opening) {
	letter := s.notify.Letter(r.Context(), c.Hike, c.place, "")
	letter.Ref, letter.UselessAt = o.ID, s.Now().Add(openedMailFor)
	m, err := message.CardOpened(letter, o.By, string(o.Ground), format.Moment(o.At, c.Zone()))
	s.notify.Send(r.Context(), m, err)
}

func (s *Handlers) cardAskPage(r *http.Request, c cardRequest, a ui.FormState) view.CardAskPage {
	p := view.CardAskPage{Page: s.Page(r, "Open a medical card", "Board"), Person: c.place.Name, Hike: c.Hike.Title,
		As:  string(c.ground),
		URL: c.path(), BackURL: c.back(), Reason: view.NewOpenReason(a)}
	p.Private = c.secret != ""
	if line, ok := s.ActionLines(r, c.Hike.ID)[c.place.ID]; ok {
		p.Action = line.Text
	}
	return p
}

func (s *Handlers) cardOpenPage(r *http.Request, c cardRequest, o card.Opening, opened card.Card,
	unread bool) view.CardOpenPage {
	p := view.CardOpenPage{Page: s.Page(r, "Medical card", "Board"), Person: c.place.Name, Hike: c.Hike.Title,
		Action: opened.Action, Unread: unread,
		Opened: s.openedWords(c, o), BackURL: c.back(), Lines: kit.CardLines(opened)}
	p.Private = c.secret != ""
	p.Calls = append(p.Calls, format.Line{Label: c.place.EmergencyName, Value: c.place.EmergencyPhone, URL: "tel:" +
		c.place.EmergencyPhone, Note: "who to call for " + c.place.Name})
	if p.Emergency != "" {
		p.Calls = append([]format.Line{{Label: "Emergency number", Value: p.Emergency, URL: "tel:" + p.Emergency,
			Note: "Say where first."}}, p.Calls...)
	}
	return p
}

// openedWords says what is kept of an opening. Where nothing could be sealed, nothing is.
func (s *Handlers) openedWords(c cardRequest, o card.Opening) string {
	if !s.Cards.HoldsCardKey() {
		return "Nothing was opened, so nothing is kept or told."
	}
	return "Opened by " + o.By + ", " + string(o.Ground) + ", " + format.Moment(o.At, c.Zone()) + ": " + o.Reason
}

// ShowCards is the log of openings, and for the safety officer the cards of hikes on which
// something happened. That a card was opened is told here, never what it says.
func (s *Handlers) ShowCards(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Cards.Openings(r.Context(), kit.OpeningsShown)
	if err != nil {
		return err
	}
	safety := kit.ViewerOf(r).Has(account.Safety)
	p := view.CardsPage{Page: s.Page(r, "Medical cards", "Cards"), NoKey: !s.Cards.HoldsCardKey(), Safety: safety,
		Openings: kit.OpeningsLedger(list, s.Zone(r), safety)}
	if safety {
		if p.Incidents, err = s.incidentCards(r); err != nil {
			return err
		}
	}
	return s.Render(w, r, http.StatusOK, view.Cards(p))
}

// House judgment: how far back the safety officer looks for incidents; cards are kept for
// two weeks, and longer under a hold.
const incidentsBack = 60 * 24 * time.Hour

// incidentCards lists who has a card on a hike on which something happened.
func (s *Handlers) incidentCards(r *http.Request) (ui.LedgerText, error) {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Cards"}}}
	now := s.Now()
	hikes, err := s.Hikes.Hikes(r.Context(), now.Add(-incidentsBack), now)
	if err != nil {
		return l, err
	}
	for _, h := range hikes {
		if h.Hike.State != hike.Out && h.Hike.State != hike.Back && h.Hike.State != hike.Closed {
			continue
		}
		x, err := s.loadWatch(r, watchViewer{id: h.Hike.ID})
		if err != nil {
			return l, err
		}
		if links := x.cardLinks(func(signup.SignUp) bool { return true }); len(links) > 0 && x.situation(now).Incident {
			l.Rows = append(l.Rows, []ui.Cell{{Text: h.Hike.Title}, {Text: format.ShortDay(h.Hike.Start, x.Zone())},
				{Part: view.CardLinks(links)}})
		}
	}
	return l, nil
}

// cardLinks leads to the cards of some people of a hike.
func (x watchData) cardLinks(of func(signup.SignUp) bool) []ui.NavLink {
	var links []ui.NavLink
	for _, p := range x.SignUps {
		if p.Carded && p.State == signup.Confirmed && of(p) {
			links = append(links, ui.NavLink{Label: p.Name, URL: cardPath(x.watchViewer, p.ID)})
		}
	}
	return links
}

// missingCards leads whoever may open them to the cards of those not accounted for.
func (s *Handlers) missingCards(r *http.Request, x watchData) []ui.NavLink {
	reader, err := s.readerOf(r, x)
	if err != nil {
		s.Log.Error("find out who reads cards", "hike", x.Hike.ID, "err", err)
		return nil
	}
	ground, ok := card.MayOpen(reader, x.situation(s.Now()), s.Now())
	if !ok || ground == card.AsLeader {
		return nil
	}
	missing := map[party.PersonID]bool{}
	for _, p := range x.State.MissingPersons() {
		missing[p.ID] = true
	}
	return x.cardLinks(func(p signup.SignUp) bool { return missing[party.PersonID(p.ID)] })
}
