package view

import "saltbush/internal/format"

// RecordsPage lists the records of staff, trainees first.
type RecordsPage struct {
	Page
	Tabs     []Tab
	Trainees []TraineeLine
	People   []RecordLine
}

// TraineeLine is somebody on the way to leading.
type TraineeLine struct {
	Name, URL string
	Level     string
	Observed  string // "3 observed hikes"
	Last      string // "12 Mar 2027 on Dry Fork: more practice"
}

// RecordLine is one person in the list of records.
type RecordLine struct {
	Name, URL string
	Standing  StampText
	Level     string // "leader, up to strenuous"
	Papers    []GapLine
	Led       string // "4 in 12 months, 9 in 24"
	Last      string // when they last led
}

// RecordPage is one person's record as staff.
type RecordPage struct {
	Page
	Tabs         []Tab
	Name, URL    string
	Now          StampText
	NowSays      string
	Changes      []ChangeLine
	Papers       []PaperLine
	Missing      []string // kinds asked for and not held
	Observed     []ObservedLine
	Led          []FigureText
	Walked       []WalkedLine
	Away         []string
	CanManage    bool // certificates and standing
	Standing     StandingFields
	Certificate  CertificateFields
	ObservedForm ObservedFields
}

// ChangeLine is one dated change of standing.
type ChangeLine struct {
	From, Level, Class, Endorsed string
	Status                       StampText
	Reason, By                   string
}

// PaperLine is one certificate.
type PaperLine struct {
	Kind, Issuer, Number, Through, Evidence string
	State                                   StampText
}

// ObservedLine is one observed hike.
type ObservedLine struct{ Day, Trail, Mentor, Skills, Result, Note string }

// WalkedLine is one closed hike.
type WalkedLine struct{ Day, Title, URL, Trail, Part string }

// StandingStamp is the stamp of a status.
func StandingStamp(status string) StampText {
	switch status {
	case "active":
		return StampText{Word: status, Look: LookLeaf, Mark: MarkTick}
	case "provisional":
		return StampText{Word: status, Look: LookOchre, Mark: MarkHalf}
	case "lapsed":
		return StampText{Word: status, Look: LookRock, Mark: MarkBar}
	case "suspended":
		return StampText{Word: status, Look: LookClay, Mark: MarkCross}
	}
	return StampText{Word: "not on record", Look: LookPencil, Mark: MarkQuestion}
}

// PaperStamp is the stamp of a certificate by the days that it is still valid.
func PaperStamp(days int, ends bool) StampText {
	switch {
	case !ends:
		return StampText{Word: "valid", Look: LookLeaf, Mark: MarkTick, Note: "does not end"}
	case days < 0:
		return StampText{Word: "ended", Look: LookClay, Mark: MarkCross}
	case days <= 60:
		return StampText{Word: "ends in " + format.Count(days, "day", "days"), Look: LookOchre, Mark: MarkGlass}
	}
	return StampText{Word: "valid", Look: LookLeaf, Mark: MarkTick}
}

// StandingFields ask for a dated change.
type StandingFields struct{ From, Level, Class, Endorsements, Status, Reason Field }

// NewStandingFields asks for a dated change.
func NewStandingFields(a Answers, levels, classes, endorsements, statuses []Option) StandingFields {
	return StandingFields{
		From:         a.Asked(Field{Name: "from", Label: "From the day", Kind: "date", Short: true, Hint: "Hikes before it stay as they were."}),
		Level:        a.Asked(Field{Name: "level", Label: "Level", Options: levels}),
		Class:        a.Asked(Field{Name: "max_class", Label: "Hardest class of hike", Options: classes}),
		Endorsements: a.Asked(Field{Name: "endorsements", Label: "Endorsed for", Optional: true, Options: endorsements}),
		Status:       a.Asked(Field{Name: "status", Label: "Status", Options: statuses}),
		Reason:       a.Asked(Field{Name: "reason", Label: "Reason", Hint: "Kept with the date and your name."}),
	}
}

// All lists the questions for the head of the form.
func (f StandingFields) All() []Field {
	return []Field{f.From, f.Level, f.Class, f.Endorsements, f.Status, f.Reason}
}

// CertificateFields ask for a certificate.
type CertificateFields struct{ Kind, Issuer, Number, Through, Evidence Field }

// NewCertificateFields asks for a certificate.
func NewCertificateFields(a Answers, kinds []Option) CertificateFields {
	return CertificateFields{
		Kind:     a.Asked(Field{Name: "certificate", Label: "Certificate", Options: kinds}),
		Issuer:   a.Asked(Field{Name: "issuer", Label: "Issued by"}),
		Number:   a.Asked(Field{Name: "number", Label: "Number", Optional: true, Short: true}),
		Through:  a.Asked(Field{Name: "through", Label: "Valid through", Kind: "date", Short: true, Optional: true, Hint: "The last day on which it counts. Leave it empty where it does not end."}),
		Evidence: a.Asked(Field{Name: "evidence", Label: "Where the paper was seen", Hint: "Such as: copy on file, shown at training."}),
	}
}

// All lists the questions for the head of the form.
func (f CertificateFields) All() []Field {
	return []Field{f.Kind, f.Issuer, f.Number, f.Through, f.Evidence}
}

// ObservedFields ask for an observed hike.
type ObservedFields struct{ Day, Trail, Mentor, Skills, Result, Note Field }

// NewObservedFields asks for an observed hike.
func NewObservedFields(a Answers, skills, results []Option) ObservedFields {
	return ObservedFields{
		Day:    a.Asked(Field{Name: "day", Label: "Day of the hike", Kind: "date", Short: true}),
		Trail:  a.Asked(Field{Name: "trail", Label: "Trail"}),
		Mentor: a.Asked(Field{Name: "mentor", Label: "Watched by"}),
		Skills: a.Asked(Field{Name: "skills", Label: "What was looked at", Options: skills}),
		Result: a.Asked(Field{Name: "result", Label: "What came of it", Options: results}),
		Note:   a.Asked(Field{Name: "note", Label: "Note", Optional: true, Hint: "What was seen, about this person only: no participants."}),
	}
}

// All lists the questions for the head of the form.
func (f ObservedFields) All() []Field {
	return []Field{f.Day, f.Trail, f.Mentor, f.Skills, f.Result, f.Note}
}

func (p RecordsPage) trainees() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Level"}, {Label: "Observed"}, {Label: "Latest"}}}
	for _, t := range p.Trainees {
		l.Rows = append(l.Rows, []Cell{{Text: t.Name, URL: t.URL}, {Text: t.Level}, {Text: t.Observed}, {Text: orDash(t.Last)}})
	}
	return l
}

func (p RecordsPage) people() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Standing"}, {Label: "Papers"}, {Label: "Led"}}}
	for _, x := range p.People {
		l.Rows = append(l.Rows, []Cell{{Text: x.Name, URL: x.URL}, {Part: standingCell(x.Standing, x.Level)}, {Part: paperStamps(x.Papers)}, {Text: x.Led, Note: x.Last}})
	}
	return l
}

func (p RecordPage) changes() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "From"}, {Label: "Status"}, {Label: "Level"}, {Label: "Reason"}}}
	for _, c := range p.Changes {
		status := c.Status
		l.Rows = append(l.Rows, []Cell{{Text: c.From}, {Stamp: &status}, {Text: c.Level + ", up to " + c.Class, Note: c.Endorsed}, {Text: c.Reason, Note: "written by " + c.By}})
	}
	return l
}

func (p RecordPage) papers() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Certificate"}, {Label: "State"}, {Label: "Valid through"}, {Label: "Issued by"}, {Label: "Seen"}}}
	for _, c := range p.Papers {
		state := c.State
		l.Rows = append(l.Rows, []Cell{{Text: c.Kind}, {Stamp: &state}, {Text: orDash(c.Through)}, {Text: c.Issuer, Note: c.Number}, {Text: c.Evidence}})
	}
	return l
}

func (p RecordPage) observed() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Day"}, {Label: "Trail"}, {Label: "Result"}, {Label: "Looked at"}, {Label: "Watched by"}}}
	for _, o := range p.Observed {
		l.Rows = append(l.Rows, []Cell{{Text: o.Day}, {Text: o.Trail}, {Text: o.Result, Note: o.Note}, {Text: o.Skills}, {Text: o.Mentor}})
	}
	return l
}

func (p RecordPage) walked() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Day"}, {Label: "Hike"}, {Label: "Trail"}, {Label: "Part"}}}
	for _, w := range p.Walked {
		l.Rows = append(l.Rows, []Cell{{Text: w.Day}, {Text: w.Title, URL: w.URL}, {Text: w.Trail}, {Text: w.Part}})
	}
	return l
}

func (p RecordPage) asked() []Field {
	return append(append(p.Standing.All(), p.Certificate.All()...), p.ObservedForm.All()...)
}
