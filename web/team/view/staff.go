package view

import "saltbush/web/ui"

// StaffPage lists the gaps in the staffing of the days ahead.
type StaffPage struct {
	ui.Page
	Tabs []ui.Tab
	Days []GapDay
	// Says is a summary: "7 hikes in the next 60 days. 3 cannot go as they stand."
	Says string
}

// GapDay is the gaps of one hike, or of one person's certificates.
type GapDay struct {
	Day        string // "Sun 14 Mar"
	Title, URL string
	Trail      string
	Gaps       []GapLine
}

// GapLine is one gap.
type GapLine struct {
	Stamp ui.StampText
	Says  string
}

// GapStamp returns the stamp of a gap. Its outline shows the severity.
func GapStamp(what string, severity int) ui.StampText {
	switch severity {
	case 0:
		return ui.StampText{Word: what, Look: ui.LookClay, Mark: ui.MarkHillFull}
	case 1:
		return ui.StampText{Word: what, Look: ui.LookOchre, Mark: ui.MarkHill}
	}
	return ui.StampText{Word: what, Look: ui.LookPencil, Mark: ui.MarkTalk}
}

// StaffTabs returns the tabs of the pages about staff. Viewers who may only see records get
// no tabs.
func StaffTabs(current string, coordinates bool) []ui.Tab {
	tabs := []ui.Tab{{Label: "Gaps", URL: "/staff"}, {Label: "Records", URL: "/staff/people"},
		{Label: "Rules and drives", URL: "/staff/rules"}}
	if !coordinates {
		tabs = tabs[1:2]
	}
	for i := range tabs {
		tabs[i].Current = tabs[i].Label == current
	}
	return tabs
}

// StaffRulesPage is the certificates that the house requires, and the known drives.
type StaffRulesPage struct {
	ui.Page
	Tabs   []ui.Tab
	Kinds  []KindLine
	Kind   KindFields
	Drives ui.LedgerText
	Drive  DriveFields
}

// KindLine is a kind of certificate that the house requires.
type KindLine struct{ Name, Asked, Shared, RemoveURL string }

// KindFields ask for a kind of certificate.
type KindFields struct{ Name, Asked, Shared ui.Field }

// NewKindFields asks for a kind of certificate.
func NewKindFields(a ui.FormState) KindFields {
	return KindFields{
		Name: a.Bind(ui.Field{Name: "kind", Label: "Certificate", Hint: "The same name again changes its rule."}),
		Asked: a.Bind(ui.Field{Name: "asked", Label: "Asked of", Optional: true, Options: []ui.Option{
			{Value: "leader", Label: "The leader"}, {Value: "sweep", Label: "The sweep"},
			{Value: "minors", Label: "Only where a minor is on the hike"},
		}}),
		Shared: ui.Field{Name: "shared", Label: "Another person on the staff who may lead may hold it instead",
			Checked: len(a.Values["shared"]) > 0, Optional: true},
	}
}

// All returns the questions whose faults are listed above the form.
func (f KindFields) All() []ui.Field { return []ui.Field{f.Name, f.Asked} }

// DriveFields ask for a drive.
type DriveFields struct{ From, To, Minutes ui.Field }

// NewDriveFields asks for a drive between two of the trails.
func NewDriveFields(a ui.FormState, trails []ui.Option) DriveFields {
	return DriveFields{
		From:    a.Bind(ui.Field{Name: "from", Label: "From the trail", Options: trails}),
		To:      a.Bind(ui.Field{Name: "to", Label: "To the trail", Options: trails}),
		Minutes: a.Bind(ui.Field{Name: "minutes", Label: "By car", Unit: "minutes", Short: true}),
	}
}

// All returns the questions whose faults are listed above the form.
func (f DriveFields) All() []ui.Field { return []ui.Field{f.From, f.To, f.Minutes} }

func (p StaffRulesPage) kinds() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Certificate"}, {Label: "Asked of"},
		{Label: "May another hold it"}, {Label: "Change"}}}
	for _, k := range p.Kinds {
		l.Rows = append(l.Rows, []ui.Cell{{Text: k.Name}, {Text: ui.OrDash(k.Asked)}, {Text: k.Shared},
			{Part: smallForm(k.RemoveURL, "Ask no more", k.Name)}})
	}
	return l
}
