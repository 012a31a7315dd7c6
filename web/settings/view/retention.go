package view

import "saltbush/web/ui"

// RetentionPage is what is stored about people, until when, and what was deleted.
type RetentionPage struct {
	ui.Page
	Run   ui.NoteText   // when the last daily run was
	Open  ui.LedgerText // past hikes that are not closed
	Going ui.LedgerText // hikes with the dates of their deletions
	Holds ui.LedgerText // current holds
	Past  ui.LedgerText // lifted holds
	Gone  ui.LedgerText // deletions
	Hike  ui.Field      // the hike to hold
	Why   ui.Field      // why it is held
	Stays []string      // what is never deleted
}

// LiftText is the form that ends one hold.
type LiftText struct {
	Hike  string // its id
	About string // its title
	Why   ui.Field
}

// LogPage is the log of everything that was opened, changed, held or deleted.
type LogPage struct {
	ui.Page
	Lines ui.LedgerText
}

// CaseColumns are the columns of RetentionPage.Going.
func CaseColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Medical cards"}, {Label: "Cars and plates"}, {Label: "Contacts"},
		{Label: "Names"}, {Label: "Waivers"}}
}

// HoldColumns are the columns of RetentionPage.Holds.
func HoldColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lift it"}}
}

// PastHoldColumns are the columns of RetentionPage.Past.
func PastHoldColumns() []ui.Column {
	return []ui.Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lifted"}, {Label: "Why"}}
}

// DeletionColumns are the columns of RetentionPage.Gone.
func DeletionColumns() []ui.Column {
	return []ui.Column{{Label: "When"}, {Label: "Of"}, {Label: "What"}, {Label: "How many", Figure: true},
		{Label: "By"}}
}

// LogColumns are the columns of LogPage.
func LogColumns() []ui.Column {
	return []ui.Column{{Label: "When"}, {Label: "What"}, {Label: "About"}, {Label: "More"}, {Label: "By"}}
}

// NewHeldHike asks which hike to hold.
func NewHeldHike(a ui.FormState, hikes []ui.Option) ui.Field {
	return a.Bind(ui.Field{Name: "hike", Label: "Hold which hike?", Options: hikes})
}

// NewHoldWhy asks why to hold a hike.
func NewHoldWhy(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "because", Label: "Why may nothing of it be deleted?",
		Hint: "A claim, an inquiry, somebody hurt. It stands in the log; name nobody."})
}

// NewLiftWhy asks why to end a hold. The page has one for each hold.
func NewLiftWhy(a ui.FormState, hike string) ui.Field {
	return a.Bind(ui.Field{Name: "lift", ID: "lift-" + hike, Label: "Why may it end?"})
}
