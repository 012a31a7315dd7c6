package view

// StaffingPage is the staffing of one hike: who has said yes, whether they are enough, and
// who else could be asked.
type StaffingPage struct {
	Page
	URL, HikeURL string
	Hike, When   string
	State        StampText
	Trail        string
	Asks         string // "moderate; endorsed for rough ground"
	Staff        []StaffLine
	OnCall       StaffLine // its Name is empty where nobody is named
	Provisional  string
	Blocks       []string
	Figures      []FigureText
	NumberSays   []string
	Clashes      []string
	Declines     []string
	Open         bool // the staff can still change
	Role         string
	Roles        []Tab
	Free         []CandidateLine
	Others       []CandidateLine
}

// StaffLine is one of the staff.
type StaffLine struct {
	Name, Part string
	Phone      string
	Answer     StampText
	Why        []string // what speaks against them, or who makes up for it
	Qualified  StampText
	Person     string // in forms; "" for on-call
	Asked      bool   // a yes by phone can be written down
}

// CandidateLine is somebody who might be asked.
type CandidateLine struct {
	Name    string
	Account string
	Fair    string // "led none in 90 days, last on 3 Jan 2027"
	Why     []string
	Unknown bool // nothing is on record, and nothing else speaks against asking
}

// QualifiedStamp says whether a record meets the part.
func QualifiedStamp(known bool, against, helped int) StampText {
	switch {
	case !known:
		return StampText{Word: "not on record", Look: LookPencil, Mark: MarkQuestion}
	case against > 0:
		return StampText{Word: "not qualified", Look: LookClay, Mark: MarkCross}
	case helped > 0:
		return StampText{Word: "with help", Look: LookOchre, Mark: MarkHalf}
	}
	return StampText{Word: "qualified", Look: LookLeaf, Mark: MarkDot}
}

func (p StaffingPage) staff() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Answer"}, {Label: "Record"}, {Label: "Do"}}}
	for _, s := range p.Staff {
		l.Rows = append(l.Rows, []Cell{{Text: s.Name, Note: s.Part}, {Part: standingCell(s.Answer, "")}, {Part: recordCell(s)}, {Part: staffActions(p, s)}})
	}
	if p.OnCall.Name != "" {
		l.Rows = append(l.Rows, []Cell{{Text: p.OnCall.Name, Note: "on call, not on the hike"}, {Part: standingCell(p.OnCall.Answer, "")}, {Text: "not asked for"}, {Part: staffActions(p, p.OnCall)}})
	}
	return l
}

func (p StaffingPage) free() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Led"}, {Label: "Ask"}}}
	for _, c := range p.Free {
		l.Rows = append(l.Rows, []Cell{{Text: c.Name}, {Text: c.Fair}, {Part: askForm(p, c)}})
	}
	return l
}

func (p StaffingPage) others() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Why not"}, {Label: "Ask"}}}
	for _, c := range p.Others {
		ask := Cell{Text: "-"}
		if c.Unknown {
			ask = Cell{Part: askForm(p, c)}
		}
		l.Rows = append(l.Rows, []Cell{{Text: c.Name}, {Part: Points(c.Why)}, ask})
	}
	return l
}

// MinePage is a person's own part: what they are asked, what they have said yes to, and
// when they cannot.
type MinePage struct {
	Page
	Asked  []PartLine
	Yes    []PartLine
	Away   []AwayLine
	Fields AwayFields
	Record []string // standing and papers in sentences
}

// PartLine is one hike that a person is asked for or has said yes to.
type PartLine struct {
	Day, Clock, Title, URL, Trail, Part string
	Hike, Person                        string // in forms
	Because                             Field
	Clash                               []string
}

// AwayLine is one absence.
type AwayLine struct{ Words, Note, RemoveURL string }

// AwayFields ask when somebody cannot.
type AwayFields struct{ From, To, Weekdays, Note Field }

// NewAwayFields asks when somebody cannot.
func NewAwayFields(a Answers) AwayFields {
	days := []Option{{Value: "1", Label: "Mondays"}, {Value: "2", Label: "Tuesdays"}, {Value: "3", Label: "Wednesdays"}, {Value: "4", Label: "Thursdays"},
		{Value: "5", Label: "Fridays"}, {Value: "6", Label: "Saturdays"}, {Value: "0", Label: "Sundays"}}
	return AwayFields{
		From:     a.Asked(Field{Name: "from", Label: "From", Kind: "date", Short: true}),
		To:       a.Asked(Field{Name: "to", Label: "To", Kind: "date", Short: true, Optional: true, Hint: "The last day that you cannot. Leave it empty if it is for good, on the weekdays below."}),
		Weekdays: a.Asked(Field{Name: "weekdays", Label: "Only on", Optional: true, Hint: "None ticked: every day of it.", Options: days}),
		Note:     a.Asked(Field{Name: "note", Label: "Note", Optional: true, Hint: "Coordinators and leaders who look for staff read it."}),
	}
}

// All lists the questions for the head of the form.
func (f AwayFields) All() []Field { return []Field{f.From, f.To, f.Weekdays, f.Note} }

// NewBecause asks why somebody says no.
func NewBecause(a Answers, person string) Field {
	return a.Asked(Field{Name: "because", ID: "because-" + person, Label: "Why not", Hint: "A few words, for whoever looks for somebody else."})
}

// AskedPage is an asking as a private link opens it.
type AskedPage struct {
	Page
	URL              string
	Name, Part       string
	Hike, When, Says string
	Trail, Meeting   string
	Answer           StampText
	Open             bool // it can still be answered
	Because          Field
}

func (p MinePage) away() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Cannot"}, {Label: "Note"}, {Label: "Do"}}}
	for _, a := range p.Away {
		l.Rows = append(l.Rows, []Cell{{Text: a.Words}, {Text: orDash(a.Note)}, {Part: smallForm(a.RemoveURL, "Take back", a.Words)}})
	}
	return l
}

func (p MinePage) because() []Field {
	var fields []Field
	for _, l := range p.Asked {
		fields = append(fields, l.Because)
	}
	return fields
}
