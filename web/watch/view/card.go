package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// CardAskPage asks for the reason before a card is opened.
type CardAskPage struct {
	ui.Page
	Person, Hike string
	As           string // "leader on the day"
	Action       string // the action line, which may be all that is needed
	URL, BackURL string
	Reason       ui.Field
}

// NewOpenReason asks why a card is opened.
func NewOpenReason(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "reason", Label: "Why do you open it?",
		Hint: "The person reads this, with your name and the time."})
}

// CardOpenPage is an opened card.
type CardOpenPage struct {
	ui.Page
	Person, Hike string
	Action       string
	Lines        []format.Line
	Calls        []format.Line
	Opened       string // who opened it, when and why
	Unread       bool   // the card exists but cannot be read
	BackURL      string
}

// CardsPage is the log of openings.
type CardsPage struct {
	ui.Page
	NoKey     bool
	Safety    bool          // the viewer is the safety officer, who reads reasons
	Openings  ui.LedgerText // newest first
	Incidents ui.LedgerText // hikes with an incident, with their cards
}
