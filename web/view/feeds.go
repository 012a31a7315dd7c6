package view

// FeedsText is the private addresses under which calendar programs follow a person's hikes.
type FeedsText struct {
	New   string // the address just made, shown this once
	Lines []FeedLine
	Full  bool // no more can be made
	Name  Field
}

// FeedLine is one address, by what reads it.
type FeedLine struct {
	Name, Made, Read string
	End              ButtonText
}

// NewFeedField asks what will read the calendar.
func NewFeedField(a Answers) Field {
	return a.Asked(Field{Name: "feed", Label: "What will follow it?", Hint: "Such as: my phone. So that you know which to end."})
}

func (f FeedsText) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Address for"}, {Label: "Made"}, {Label: "Last read"}, {Label: "End"}}}
	for _, x := range f.Lines {
		l.Rows = append(l.Rows, []Cell{{Text: x.Name}, {Text: x.Made}, {Text: x.Read}, {Part: ButtonForm(x.End)}})
	}
	return l
}
