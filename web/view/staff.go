package view

// StaffPage is the board of gaps in the staffing of the days ahead.
type StaffPage struct {
	Page
	Tabs []Tab
	Days []GapDay
	// Says sums up: "7 hikes in the next 60 days; 3 cannot go as they stand."
	Says string
}

// GapDay is what one hike, or one person's papers, lack.
type GapDay struct {
	Day        string // "Sun 14 Mar"
	Title, URL string
	Trail      string
	Gaps       []GapLine
}

// GapLine is one thing missing.
type GapLine struct {
	Stamp StampText
	Says  string
}

// GapStamp is the stamp of a gap: its words, with an outline that says how grave it is.
func GapStamp(what string, severity int) StampText {
	switch severity {
	case 0:
		return StampText{Word: what, Look: LookClay, Mark: MarkHillFull}
	case 1:
		return StampText{Word: what, Look: LookOchre, Mark: MarkHill}
	}
	return StampText{Word: what, Look: LookPencil, Mark: MarkTalk}
}

// StaffTabs turns between the pages about staff. Who sees records alone gets no others.
func StaffTabs(current string, coordinates bool) []Tab {
	tabs := []Tab{{Label: "Gaps", URL: "/staff"}, {Label: "Records", URL: "/staff/people"}, {Label: "Rules and drives", URL: "/staff/rules"}}
	if !coordinates {
		tabs = tabs[1:2]
	}
	for i := range tabs {
		tabs[i].Current = tabs[i].Label == current
	}
	return tabs
}

// StaffRulesPage is what the house asks of staff, and the drives that somebody knows.
type StaffRulesPage struct {
	Page
	Tabs   []Tab
	Kinds  []KindLine
	Kind   KindFields
	Drives LedgerText
	Drive  DriveFields
}

// KindLine is a certificate that the house asks for.
type KindLine struct{ Name, Asked, Shared, RemoveURL string }

// KindFields ask for a kind of certificate.
type KindFields struct{ Name, Asked, Shared Field }

// NewKindFields asks for a kind of certificate.
func NewKindFields(a Answers) KindFields {
	return KindFields{
		Name: a.Asked(Field{Name: "kind", Label: "Certificate", Hint: "The same name again changes its rule."}),
		Asked: a.Asked(Field{Name: "asked", Label: "Asked of", Optional: true, Options: []Option{
			{Value: "leader", Label: "The leader"}, {Value: "sweep", Label: "The sweep"}, {Value: "minors", Label: "Only where a minor is on the hike"},
		}}),
		Shared: Field{Name: "shared", Label: "Another person on the staff who may lead may hold it instead", Checked: len(a.Typed["shared"]) > 0, Optional: true},
	}
}

// All lists the questions for the head of the form.
func (f KindFields) All() []Field { return []Field{f.Name, f.Asked} }

// DriveFields ask for a drive.
type DriveFields struct{ From, To, Minutes Field }

// NewDriveFields asks for a drive between two of the trails.
func NewDriveFields(a Answers, trails []Option) DriveFields {
	return DriveFields{
		From:    a.Asked(Field{Name: "from", Label: "From the trail", Options: trails}),
		To:      a.Asked(Field{Name: "to", Label: "To the trail", Options: trails}),
		Minutes: a.Asked(Field{Name: "minutes", Label: "By car", Unit: "minutes", Short: true}),
	}
}

// All lists the questions for the head of the form.
func (f DriveFields) All() []Field { return []Field{f.From, f.To, f.Minutes} }

func (p StaffRulesPage) kinds() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Certificate"}, {Label: "Asked of"}, {Label: "May another hold it"}, {Label: "Change"}}}
	for _, k := range p.Kinds {
		l.Rows = append(l.Rows, []Cell{{Text: k.Name}, {Text: orDash(k.Asked)}, {Text: k.Shared}, {Part: smallForm(k.RemoveURL, "Ask no more", k.Name)}})
	}
	return l
}
