package signups

import (
	"net/http"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

func (s *Handlers) cardFormPage(r *http.Request, h hike.Hike, place signup.SignUp, fields ui.Fields,
	lost bool) view.CardFormPage {
	zone := h.Start.Location()
	at := "/place/" + kit.SecretIn(r)
	p := view.CardFormPage{Page: s.Page(r, "Your medical card", ""), Hike: h.Title + ", " + format.Day(h.Start, zone),
		Person: place.Name,
		URL:    at + "/card", BackURL: at + "#card", Fields: fields, Lost: lost, NoKey: !s.Cards.HoldsCardKey()}
	p.Private = true
	if err := card.MayWrite(h, place); err != nil {
		p.Refused = err.Error()
	}
	if place.Carded {
		p.Remove = ui.ButtonText{Label: "Delete my card", Kind: ui.ButtonGrave, URL: at + "/card/remove"}
	}
	return p
}

// medicalCard is the part about the medical card on a person's own page.
func (s *Handlers) medicalCard(r *http.Request, h hike.Hike, place signup.SignUp) view.PlaceCard {
	zone := h.Start.Location()
	p := view.PlaceCard{Has: place.Carded, URL: "/place/" + kit.SecretIn(r) + "/card"}
	if card.MayWrite(h, place) != nil && !place.Carded {
		p.URL = ""
	}
	list, err := s.Cards.OpeningsOf(r.Context(), kit.OfPlace(place))
	if err != nil {
		s.Log.Error("list openings of a card", "place", place.ID, "err", err)
		p.Failed = true
	}
	p.Openings = ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "When"}, {Label: "Opened by"}, {Label: "Reason"}}}
	for _, o := range list {
		p.Openings.Rows = append(p.Openings.Rows, []ui.Cell{{Text: format.Moment(o.At, zone)},
			{Text: o.By, Note: string(o.Ground)}, {Text: kit.ReasonWords(o)}})
	}
	return p
}
