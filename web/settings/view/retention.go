package view

import "saltbush/web/ui"

// KeptPage says what is kept of people, until when, and what went.
type KeptPage struct {
	ui.Page
	Run   ui.NoteText   // when the last daily run was
	Open  ui.LedgerText // hikes whose day is over and that are not closed
	Going ui.LedgerText // hikes by what goes when
	Holds ui.LedgerText // that stand
	Past  ui.LedgerText // that were lifted
	Gone  ui.LedgerText // what went
	Hike  ui.Field      // to hold
	Why   ui.Field      // it is held
	Stays []string      // what no run takes
}

// LiftText is the form that ends one hold.
type LiftText struct {
	Hike  string // its number
	About string // its title
	Why   ui.Field
}

// LogPage is the log over all that was opened, changed, held or deleted.
type LogPage struct {
	ui.Page
	Lines ui.LedgerText
}

// KeptColumns are the kinds by when they go.
func KeptColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Medical cards"}, {Label: "Cars and plates"}, {Label: "Contacts"}, {Label: "Names"}, {Label: "Waivers"}}
}

// HoldColumns are those of a hold that stands.
func HoldColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lift it"}}
}

// PastHoldColumns are those of a hold that was lifted.
func PastHoldColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lifted"}, {Label: "Why"}}
}

// GoneColumns are those of what went.
func GoneColumns() []ui.Column {
	return []ui.Column{{Label: "When"}, {Label: "Of"}, {Label: "What"}, {Label: "How many", Figure: true}, {Label: "By"}}
}

// LogColumns are those of the log.
func LogColumns() []ui.Column {
	return []ui.Column{{Label: "When"}, {Label: "What"}, {Label: "About"}, {Label: "More"}, {Label: "By"}}
}

// NewHeldHike asks which hike is held.
func NewHeldHike(a ui.FormState, hikes []ui.Option) ui.Field {
	return a.Bind(ui.Field{Name: "hike", Label: "Hold which hike?", Options: hikes})
}

// NewHoldWhy asks why a hike is held.
func NewHoldWhy(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "because", Label: "Why may nothing of it be deleted?", Hint: "A claim, an inquiry, somebody hurt. It stands in the log; name nobody."})
}

// NewLiftWhy asks why a hold may end. The page has one for each hold.
func NewLiftWhy(a ui.FormState, hike string) ui.Field {
	return a.Bind(ui.Field{Name: "lift", ID: "lift-" + hike, Label: "Why may it end?"})
}
