package web

import (
	"net/http"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/web/view"
)

func (s *signupsHandlers) cardFormPage(r *http.Request, h hike.Hike, place hike.SignUp, a view.Answers, lost bool) view.CardFormPage {
	zone := h.Start.Location()
	at := "/place/" + secretIn(r)
	p := view.CardFormPage{Page: s.page(r, "Your medical card", ""), Hike: h.Title + ", " + format.Day(h.Start, zone), Person: place.Name,
		URL: at + "/card", BackURL: at + "#card", Fields: view.NewCardFields(a), Lost: lost, NoKey: !s.Cards.HoldsCardKey()}
	p.Private = true
	if err := card.MayWrite(h, place); err != nil {
		p.Refused = err.Error()
	}
	if place.Carded {
		p.Remove = view.ButtonText{Label: "Delete my card", Kind: view.ButtonGrave, URL: at + "/card/remove"}
	}
	return p
}

func (s *watchHandlers) cardAskPage(r *http.Request, c cardAsked, a view.Answers) view.CardAskPage {
	p := view.CardAskPage{Page: s.page(r, "Open a medical card", "Board"), Person: c.place.Name, Hike: c.Hike.Title, As: string(c.ground),
		URL: c.path(), BackURL: c.back(), Reason: view.NewOpenReason(a)}
	p.Private = c.secret != ""
	if line, ok := s.actionLines(r, c.Hike.ID)[c.place.ID]; ok {
		p.Action = line.Text
	}
	return p
}

func (s *watchHandlers) cardOpenPage(r *http.Request, c cardAsked, o card.Opening, opened card.Card, unread bool) view.CardOpenPage {
	p := view.CardOpenPage{Page: s.page(r, "Medical card", "Board"), Person: c.place.Name, Hike: c.Hike.Title, Action: opened.Action, Unread: unread,
		Opened: s.openedWords(c, o), BackURL: c.back(), Lines: cardLines(opened)}
	p.Private = c.secret != ""
	p.Calls = append(p.Calls, format.Line{Label: c.place.EmergencyName, Value: c.place.EmergencyPhone, URL: "tel:" + c.place.EmergencyPhone, Note: "whom to ring for " + c.place.Name})
	if p.Emergency != "" {
		p.Calls = append([]format.Line{{Label: "Emergency number", Value: p.Emergency, URL: "tel:" + p.Emergency, Note: "Say where first."}}, p.Calls...)
	}
	return p
}

// openedWords says what is kept of an opening. Where nothing could be sealed, nothing is.
func (s *watchHandlers) openedWords(c cardAsked, o card.Opening) string {
	if !s.Cards.HoldsCardKey() {
		return "Nothing was opened, so nothing is kept or told."
	}
	return "Opened by " + o.By + ", " + string(o.Ground) + ", " + format.Moment(o.At, c.zone()) + ": " + o.Reason
}

// cardLines are the answers of a card in the order in which they are needed. What is not
// answered says so: it is not known, which is not "none".
func cardLines(c card.Card) []format.Line {
	lines := []format.Line{
		{Label: "Carries, and where", Value: c.Carried}, {Label: "Allergies", Value: c.Allergies}, {Label: "Conditions", Value: c.Conditions},
		{Label: "Medicines", Value: c.Medicines}, {Label: "Heat, before", Value: c.HeatHistory}, {Label: "Hearing, seeing, language", Value: c.Communication},
		{Label: "Born", Value: c.Born}, {Label: "Doctor", Value: c.Doctor},
	}
	for i := range lines {
		if lines[i].Value == "" {
			lines[i].Note = "not written"
		}
	}
	return lines
}

// House judgement: as many openings as a person looks through.
const openingsShown = 200

// showCards is the log of openings, and for the safety officer the cards of hikes on which
// something happened. That a card was opened is told here, never what it says.
func (s *watchHandlers) showCards(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Cards.Openings(r.Context(), openingsShown)
	if err != nil {
		return err
	}
	safety := viewerOf(r).Has(account.Safety)
	p := view.CardsPage{Page: s.page(r, "Medical cards", "Cards"), NoKey: !s.Cards.HoldsCardKey(), Safety: safety,
		Openings: openingsLedger(list, s.zone(r), safety)}
	if safety {
		if p.Incidents, err = s.incidentCards(r); err != nil {
			return err
		}
	}
	return s.render(w, r, http.StatusOK, view.Cards(p))
}

func openingsLedger(list []card.Opening, zone *time.Location, reasons bool) view.LedgerText {
	l := view.LedgerText{Cards: true, Columns: []view.Column{{Label: "When"}, {Label: "Whose card"}, {Label: "Hike"}, {Label: "Opened by"}}}
	if reasons {
		l.Columns = append(l.Columns, view.Column{Label: "Reason"})
	}
	for _, o := range list {
		row := []view.Cell{{Text: format.Moment(o.At, zone)}, {Text: format.OrElse(o.Person, "a name that is deleted")}, {Text: o.Title}, {Text: o.By, Note: string(o.Ground)}}
		if reasons {
			row = append(row, view.Cell{Text: reasonWords(o)})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

func reasonWords(o card.Opening) string {
	if o.Lost {
		return "cannot be read any more: its key is gone"
	}
	return o.Reason
}

// House judgement: how far back the safety officer looks for incidents; cards are kept for
// two weeks, and longer under a hold.
const incidentsBack = 60 * 24 * time.Hour

// incidentCards lists who has a card on a hike on which something happened.
func (s *watchHandlers) incidentCards(r *http.Request) (view.LedgerText, error) {
	l := view.LedgerText{Cards: true, Columns: []view.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Cards"}}}
	now := s.Now()
	hikes, err := s.Hikes.Hikes(r.Context(), now.Add(-incidentsBack), now)
	if err != nil {
		return l, err
	}
	for _, h := range hikes {
		if h.Hike.State != hike.Out && h.Hike.State != hike.Back && h.Hike.State != hike.Closed {
			continue
		}
		x, err := s.watchedBy(r, watcherIn{id: h.Hike.ID})
		if err != nil {
			return l, err
		}
		if links := x.cardLinks(func(hike.SignUp) bool { return true }); len(links) > 0 && x.situation(now).Incident {
			l.Rows = append(l.Rows, []view.Cell{{Text: h.Hike.Title}, {Text: format.ShortDay(h.Hike.Start, x.zone())}, {Part: view.CardLinks(links)}})
		}
	}
	return l, nil
}

// cardLinks leads to the cards of some people of a hike.
func (x watched) cardLinks(of func(hike.SignUp) bool) []view.NavLink {
	var links []view.NavLink
	for _, p := range x.signUps {
		if p.Carded && p.State == hike.Confirmed && of(p) {
			links = append(links, view.NavLink{Label: p.Name, URL: cardPath(x.watcherIn, p.ID)})
		}
	}
	return links
}

// missingCards leads whoever may open them to the cards of those not accounted for.
func (s *watchHandlers) missingCards(r *http.Request, x watched) []view.NavLink {
	ground, ok := card.MayOpen(s.readerOf(r, x), x.situation(s.Now()), s.Now())
	if !ok || ground == card.AsLeader {
		return nil
	}
	missing := map[roll.PersonID]bool{}
	for _, p := range x.State.MissingPersons() {
		missing[p.ID] = true
	}
	return x.cardLinks(func(p hike.SignUp) bool { return missing[roll.PersonID(p.ID)] })
}

// actionLines loads the action lines of a hike. Where that fails, pages show that there
// are cards, and the fault is logged.
func (s *Kit) actionLines(r *http.Request, id hike.HikeID) map[string]card.Line {
	lines, err := s.cards.ActionLines(r.Context(), id)
	if err != nil {
		s.Log.Error("read action lines", "hike", id, "err", err)
	}
	return lines
}

// actions are the action lines of a hike as one viewer of its roll sees them.
type actions struct {
	lines map[string]card.Line
	reads bool // this viewer reads them now
	opens bool // this viewer may open whole cards now
}

func (s *Kit) actionsFor(r *http.Request, h hike.Hike, sight hike.Sight) actions {
	a, _ := viewerOf(r).Account()
	x := actions{reads: sight.Sees(hike.KindAction)}
	_, x.opens = card.MayOpen(card.ReaderOf(a, h), card.Situation{Hike: h}, s.Now())
	if x.reads {
		x.lines = s.actionLines(r, h.ID)
	}
	return x
}

// flag is what the roll says beside the name of somebody who has a card.
func (x actions) flag(p hike.SignUp) view.RollFlag {
	line, known := x.lines[p.ID]
	f := view.RollFlag{Text: "Has a medical card."}
	switch {
	case !x.reads:
		f.Text = "Has a medical card. What to do is shown to leader and sweep on the day, from the evening before."
	case !known || line.Unread != nil:
		f.Text = "Has a medical card that cannot be read: its key is missing here. Ask what to do."
	case line.Text != "":
		f.Text = line.Text
	}
	if x.opens {
		f.URL, f.Link = hikePath(p.Hike)+"/cards/"+p.ID, "Open the card"
	}
	return f
}

// medicalCard is what a person's own page says of their card.
func (s *signupsHandlers) medicalCard(r *http.Request, h hike.Hike, place hike.SignUp) view.PlaceCard {
	zone := h.Start.Location()
	p := view.PlaceCard{Has: place.Carded, URL: "/place/" + secretIn(r) + "/card"}
	if card.MayWrite(h, place) != nil && !place.Carded {
		p.URL = ""
	}
	list, err := s.Cards.OpeningsOf(r.Context(), ofPlace(place))
	if err != nil {
		s.Log.Error("list openings of a card", "place", place.ID, "err", err)
		p.Failed = true
	}
	p.Openings = view.LedgerText{Cards: true, Columns: []view.Column{{Label: "When"}, {Label: "Opened by"}, {Label: "Reason"}}}
	for _, o := range list {
		p.Openings.Rows = append(p.Openings.Rows, []view.Cell{{Text: format.Moment(o.At, zone)}, {Text: o.By, Note: string(o.Ground)}, {Text: reasonWords(o)}})
	}
	return p
}
