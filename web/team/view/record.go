package view

import (
	"slices"

	"saltbush/internal/format"
	"saltbush/web/ui"
)

// RecordsPage lists the records of staff, trainees first.
type RecordsPage struct {
	ui.Page
	Tabs     []ui.Tab
	Trainees []TraineeLine
	People   []RecordLine
}

// TraineeLine is somebody who is learning to lead.
type TraineeLine struct {
	Name, URL string
	Level     string
	Observed  string // "3 observed hikes"
	Last      string // "12 Mar 2027 on Dry Fork: more practice"
}

// RecordLine is one person in the list of records.
type RecordLine struct {
	Name, URL string
	Standing  ui.StampText
	Level     string // "leader, up to strenuous"
	Papers    []GapLine
	Led       string // "4 in 12 months, 9 in 24"
	Last      string // when they last led
}

// RecordPage is one person's record as staff.
type RecordPage struct {
	ui.Page
	Tabs         []ui.Tab
	Name, URL    string
	Now          ui.StampText
	NowSays      string
	Changes      []ChangeLine
	Papers       []CertificateLine
	Missing      []string // required kinds of certificates
	Observed     []ObservedLine
	Led          []ui.FigureText
	Walked       []WalkedLine
	Away         []string
	CanManage    bool // may change approvals and certificates
	Standing     ui.Fields
	Certificate  ui.Fields
	ObservedForm ui.Fields
}

// ChangeLine is one dated approval.
type ChangeLine struct {
	From, Level, Class, Endorsed string
	Status                       ui.StampText
	Reason, By                   string
}

// CertificateLine is one certificate.
type CertificateLine struct {
	Kind, Issuer, Number, Through, Evidence string
	State                                   ui.StampText
}

// ObservedLine is one observed hike.
type ObservedLine struct{ Day, Trail, Mentor, Skills, Result, Note string }

// WalkedLine is one closed hike that the person staffed.
type WalkedLine struct{ Day, Title, URL, Trail, Part string }

// StatusStamp returns the stamp of the status of an approval.
func StatusStamp(status string) ui.StampText {
	switch status {
	case "active":
		return ui.StampText{Word: status, Look: ui.LookLeaf, Mark: ui.MarkTick}
	case "provisional":
		return ui.StampText{Word: status, Look: ui.LookOchre, Mark: ui.MarkHalf}
	case "lapsed":
		return ui.StampText{Word: status, Look: ui.LookRock, Mark: ui.MarkBar}
	case "suspended":
		return ui.StampText{Word: status, Look: ui.LookClay, Mark: ui.MarkCross}
	}
	return ui.StampText{Word: "not on record", Look: ui.LookPencil, Mark: ui.MarkQuestion}
}

// CertificateStamp returns the stamp of a certificate that is valid for so many more days.
func CertificateStamp(days int, ends bool) ui.StampText {
	switch {
	case !ends:
		return ui.StampText{Word: "valid", Look: ui.LookLeaf, Mark: ui.MarkTick, Note: "does not end"}
	case days < 0:
		return ui.StampText{Word: "ended", Look: ui.LookClay, Mark: ui.MarkCross}
	case days <= 60:
		return ui.StampText{Word: "ends in " + format.Count(days, "day", "days"), Look: ui.LookOchre,
			Mark: ui.MarkGlass}
	}
	return ui.StampText{Word: "valid", Look: ui.LookLeaf, Mark: ui.MarkTick}
}

func (p RecordsPage) trainees() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Name"}, {Label: "Level"}, {Label: "Observed"}, {Label: "Latest"}}}
	for _, t := range p.Trainees {
		l.Rows = append(l.Rows,
			[]ui.Cell{{Text: t.Name, URL: t.URL}, {Text: t.Level}, {Text: t.Observed}, {Text: ui.OrDash(t.Last)}})
	}
	return l
}

func (p RecordsPage) people() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Name"}, {Label: "Standing"}, {Label: "Papers"}, {Label: "Led"}}}
	for _, x := range p.People {
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name, URL: x.URL}, {Part: standingCell(x.Standing, x.Level)},
			{Part: paperStamps(x.Papers)}, {Text: x.Led, Note: x.Last}})
	}
	return l
}

func (p RecordPage) changes() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "From"}, {Label: "Status"}, {Label: "Level"}, {Label: "Reason"}}}
	for _, c := range p.Changes {
		status := c.Status
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.From}, {Stamp: &status},
			{Text: c.Level + ", up to " + c.Class, Note: c.Endorsed}, {Text: c.Reason, Note: "written by " + c.By}})
	}
	return l
}

func (p RecordPage) papers() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Certificate"}, {Label: "State"},
		{Label: "Valid through"}, {Label: "Issued by"}, {Label: "Seen"}}}
	for _, c := range p.Papers {
		state := c.State
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.Kind}, {Stamp: &state}, {Text: ui.OrDash(c.Through)},
			{Text: c.Issuer, Note: c.Number}, {Text: c.Evidence}})
	}
	return l
}

func (p RecordPage) observed() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Day"}, {Label: "Trail"}, {Label: "Result"},
		{Label: "Looked at"}, {Label: "Watched by"}}}
	for _, o := range p.Observed {
		l.Rows = append(l.Rows, []ui.Cell{{Text: o.Day}, {Text: o.Trail}, {Text: o.Result, Note: o.Note},
			{Text: o.Skills}, {Text: o.Mentor}})
	}
	return l
}

func (p RecordPage) walked() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Day"}, {Label: "Hike"}, {Label: "Trail"}, {Label: "Part"}}}
	for _, w := range p.Walked {
		l.Rows = append(l.Rows, []ui.Cell{{Text: w.Day}, {Text: w.Title, URL: w.URL}, {Text: w.Trail}, {Text: w.Part}})
	}
	return l
}

func (p RecordPage) asked() []ui.Field {
	return slices.Concat(p.Standing, p.Certificate, p.ObservedForm)
}
