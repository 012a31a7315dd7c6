package view

import "saltbush/internal/format"

// KeptPage says what is kept of people, until when, and what went.
type KeptPage struct {
	Page
	Run   NoteText   // when the last daily run was
	Open  LedgerText // hikes whose day is over and that are not closed
	Going LedgerText // hikes by what goes when
	Holds LedgerText // that stand
	Past  LedgerText // that were lifted
	Gone  LedgerText // what went
	Hike  Field      // to hold
	Why   Field      // it is held
	Stays []string   // what no run takes
}

// LiftText is the form that ends one hold.
type LiftText struct {
	Hike  string // its number
	About string // its title
	Why   Field
}

// LogPage is the log over all that was opened, changed, held or deleted.
type LogPage struct {
	Page
	Lines LedgerText
}

// OwnDataPage is what is kept of one person, for that person.
type OwnDataPage struct {
	Page
	Hike, Person string
	Parts        []OwnPart
	JSONURL      string
	BackURL      string
	Delete       Field  // the box that answers the question
	DeleteURL    string // "" where nothing can be deleted now
	Refused      string // why not
	First        string // what happens before, such as the place given back
	Stays        []string
}

// OwnPart is one group of what is kept.
type OwnPart struct {
	ID, Title, Goes string
	Lines           []format.Line
	None            string // said where there are no lines
}

// OwnDeletedPage is what is left to say after it.
type OwnDeletedPage struct {
	Page
	Stays []string
}

// KeptColumns are the kinds by when they go.
func KeptColumns() []Column {
	return []Column{{Label: "Hike"}, {Label: "Medical cards"}, {Label: "Cars and plates"}, {Label: "Contacts"}, {Label: "Names"}, {Label: "Waivers"}}
}

// HoldColumns are those of a hold that stands.
func HoldColumns() []Column {
	return []Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lift it"}}
}

// PastHoldColumns are those of a hold that was lifted.
func PastHoldColumns() []Column {
	return []Column{{Label: "Hike"}, {Label: "Because"}, {Label: "Since"}, {Label: "Lifted"}, {Label: "Why"}}
}

// GoneColumns are those of what went.
func GoneColumns() []Column {
	return []Column{{Label: "When"}, {Label: "Of"}, {Label: "What"}, {Label: "How many", Figure: true}, {Label: "By"}}
}

// LogColumns are those of the log.
func LogColumns() []Column {
	return []Column{{Label: "When"}, {Label: "What"}, {Label: "About"}, {Label: "More"}, {Label: "By"}}
}

// NewHeldHike asks which hike is held.
func NewHeldHike(a Answers, hikes []Option) Field {
	return a.Asked(Field{Name: "hike", Label: "Hold which hike?", Options: hikes})
}

// NewHoldWhy asks why a hike is held.
func NewHoldWhy(a Answers) Field {
	return a.Asked(Field{Name: "because", Label: "Why may nothing of it be deleted?", Hint: "A claim, an inquiry, somebody hurt. It stands in the log; name nobody."})
}

// NewLiftWhy asks why a hold may end. The page has one for each hold.
func NewLiftWhy(a Answers, hike string) Field {
	return a.Asked(Field{Name: "lift", ID: "lift-" + hike, Label: "Why may it end?"})
}

// NewDeleteBox is the question before the deletion.
func NewDeleteBox(a Answers) Field {
	return a.Asked(Field{Name: "sure", Label: "Yes, delete what is kept of me for this hike."})
}
