package view

import "saltbush/web/ui"

// CardFormPage is the form in which a person writes their own medical card.
type CardFormPage struct {
	ui.Page
	Hike, Person string
	URL, BackURL string
	Fields       ui.Fields
	Refused      string // why nothing can be written any more, "" where it can
	NoKey        bool   // nothing can be sealed now
	Lost         bool   // the stored card can no longer be read
	Remove       ui.ButtonText
}

// PlaceCard is the medical card on a person's own page.
type PlaceCard struct {
	URL      string // the form; "" where there is nothing to write any more
	Has      bool
	Failed   bool // the openings could not be listed
	Openings ui.LedgerText
}
