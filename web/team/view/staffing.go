package view

import "saltbush/web/ui"

// StaffingPage is the staffing of one hike: who accepted, whether they are enough, and who
// else could be asked.
type StaffingPage struct {
	ui.Page
	URL, HikeURL string
	Hike, When   string
	State        ui.StampText
	Trail        string
	Asks         string // "moderate; endorsed for rough ground"
	Staff        []StaffLine
	OnCall       StaffLine // its Name is empty if nobody is on call
	Provisional  string
	Blocks       []string
	Figures      []ui.FigureText
	NumberSays   []string
	Clashes      []string
	Declines     []string
	Open         bool // the staff can still change
	Role         string
	Roles        []ui.Tab
	Free         []CandidateLine
	Others       []CandidateLine
}

// StaffLine is one member of the staff.
type StaffLine struct {
	Name, Part string
	Phone      string
	Answer     ui.StampText
	Why        []string // what they lack, or who makes up for it
	Qualified  ui.StampText
	Person     string // the id in forms; empty for on-call
	Asked      bool   // can be accepted by phone
}

// CandidateLine is somebody who could be asked.
type CandidateLine struct {
	Name    string
	Account string
	Fair    string // "led none in 90 days, last on 3 Jan 2027"
	Why     []string
	Unknown bool // the missing record is the only reason against asking
}

// QualifiedStamp returns the stamp of whether a record meets the requirements.
func QualifiedStamp(known bool, against, helped int) ui.StampText {
	switch {
	case !known:
		return ui.StampText{Word: "not on record", Look: ui.LookPencil, Mark: ui.MarkQuestion}
	case against > 0:
		return ui.StampText{Word: "not qualified", Look: ui.LookClay, Mark: ui.MarkCross}
	case helped > 0:
		return ui.StampText{Word: "with help", Look: ui.LookOchre, Mark: ui.MarkHalf}
	}
	return ui.StampText{Word: "qualified", Look: ui.LookLeaf, Mark: ui.MarkDot}
}

func (p StaffingPage) staff() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Name"}, {Label: "Answer"}, {Label: "Record"}, {Label: "Do"}}}
	for _, s := range p.Staff {
		l.Rows = append(l.Rows, []ui.Cell{{Text: s.Name, Note: s.Part}, {Part: standingCell(s.Answer, "")},
			{Part: recordCell(s)}, {Part: staffActions(p, s)}})
	}
	if p.OnCall.Name != "" {
		l.Rows = append(l.Rows, []ui.Cell{{Text: p.OnCall.Name, Note: "on call, not on the hike"},
			{Part: standingCell(p.OnCall.Answer, "")}, {Text: "not asked for"}, {Part: staffActions(p, p.OnCall)}})
	}
	return l
}

func (p StaffingPage) free() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "Led"}, {Label: "Ask"}}}
	for _, c := range p.Free {
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.Name}, {Text: c.Fair}, {Part: askForm(p, c)}})
	}
	return l
}

func (p StaffingPage) others() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "Why not"}, {Label: "Ask"}}}
	for _, c := range p.Others {
		ask := ui.Cell{Text: "-"}
		if c.Unknown {
			ask = ui.Cell{Part: askForm(p, c)}
		}
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.Name}, {Part: ui.Points(c.Why)}, ask})
	}
	return l
}

// MinePage is a person's own page: requests, accepted hikes, absences and record.
type MinePage struct {
	ui.Page
	Asked  []PartLine
	Yes    []PartLine
	Away   []AwayLine
	Fields AwayFields
	Record []string // in sentences
}

// PartLine is one hike that a person is asked to staff or has accepted.
type PartLine struct {
	Day, Clock, Title, URL, Trail, Part string
	Hike, Person                        string // ids in forms
	Because                             ui.Field
	Clash                               []string
}

// AwayLine is one absence.
type AwayLine struct{ Words, Note, RemoveURL string }

// AwayFields ask about an absence.
type AwayFields struct{ From, To, Weekdays, Note ui.Field }

// NewAwayFields asks about an absence.
func NewAwayFields(a ui.FormState) AwayFields {
	days := []ui.Option{{Value: "1", Label: "Mondays"}, {Value: "2", Label: "Tuesdays"},
		{Value: "3", Label: "Wednesdays"}, {Value: "4", Label: "Thursdays"},
		{Value: "5", Label: "Fridays"}, {Value: "6", Label: "Saturdays"}, {Value: "0", Label: "Sundays"}}
	return AwayFields{
		From: a.Bind(ui.Field{Name: "from", Label: "From", Kind: "date", Short: true}),
		To: a.Bind(ui.Field{Name: "to", Label: "To", Kind: "date", Short: true, Optional: true,
			Hint: "The last day that you cannot. Leave it empty if it is for good, on the weekdays below."}),
		Weekdays: a.Bind(ui.Field{Name: "weekdays", Label: "Only on", Optional: true,
			Hint: "None ticked: every day of it.", Options: days}),
		Note: a.Bind(ui.Field{Name: "note", Label: "Note", Optional: true,
			Hint: "Coordinators and leaders who look for staff read it."}),
	}
}

// All returns the questions whose faults are listed above the form.
func (f AwayFields) All() []ui.Field { return []ui.Field{f.From, f.To, f.Weekdays, f.Note} }

// NewBecause asks why somebody declines.
func NewBecause(a ui.FormState, person string) ui.Field {
	return a.Bind(ui.Field{Name: "because", ID: "because-" + person, Label: "Why not",
		Hint: "A few words, for whoever looks for somebody else."})
}

// AskedPage is a request to staff a hike, opened by its link.
type AskedPage struct {
	ui.Page
	URL              string
	Name, Part       string
	Hike, When, Says string
	Trail, Meeting   string
	Answer           ui.StampText
	Open             bool // it can still be answered
	Because          ui.Field
}

func (p MinePage) away() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Cannot"}, {Label: "Note"}, {Label: "Do"}}}
	for _, a := range p.Away {
		l.Rows = append(l.Rows,
			[]ui.Cell{{Text: a.Words}, {Text: ui.OrDash(a.Note)}, {Part: smallForm(a.RemoveURL, "Take back", a.Words)}})
	}
	return l
}

func (p MinePage) because() []ui.Field {
	var fields []ui.Field
	for _, l := range p.Asked {
		fields = append(fields, l.Because)
	}
	return fields
}
