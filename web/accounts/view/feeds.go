package view

import "saltbush/web/ui"

// FeedsText is a person's calendar feeds.
type FeedsText struct {
	New   string // the address of a new feed, shown once
	Lines []FeedLine
	Full  bool // there are as many as allowed
	Name  ui.Field
}

// FeedLine is one feed. Its name is the app that reads it.
type FeedLine struct {
	Name, Made, Read string
	End              ui.ButtonText
}

// NewFeedField asks which app will read the calendar.
func NewFeedField(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "feed", Label: "What will follow it?",
		Hint: "Such as: my phone. So that you know which to end."})
}

func (f FeedsText) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Address for"}, {Label: "Made"}, {Label: "Last read"}, {Label: "End"}}}
	for _, x := range f.Lines {
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name}, {Text: x.Made}, {Text: x.Read}, {Part: ui.ButtonForm(x.End)}})
	}
	return l
}
