package view

import "saltbush/web/ui"

// DayLinksText lists a hike's links for the day and asks for a new one.
type DayLinksText struct {
	URL        string // where the form posts
	Open       bool   // a new link can be made
	Links      []DayLinkLine
	Name, Part ui.Field
}

// DayLinkLine is one link for the day.
type DayLinkLine struct {
	Name, Part, Made, Used, Ends string
	State                        string        // "open", "ended" or "withdrawn"
	Withdraw                     ui.ButtonText // zero where the link has ended
}

// DayLinkPage shows a new link, once.
type DayLinkPage struct {
	ui.Page
	For, Hike, Day string
	Opens          string // what it opens
	Address        string
	Message        string // text message to the person
	Ends           string
	Code           ui.QRDrawing
	BackURL        string
}

// NewDayLinkFields asks who gets a link and what it opens.
func NewDayLinkFields(a ui.FormState) (name, part ui.Field) {
	name = a.Bind(ui.Field{Name: "link_name", Label: "Who gets it", Autocomplete: "off",
		Hint: "What they record is kept under this name."})
	part = a.Bind(ui.Field{Name: "link_part", Label: "What it opens", Options: []ui.Option{
		{Value: "sweep", Label: "The roll", Note: "For a sweep or an assistant without an account."},
		{Value: "on-call", Label: "The watch",
			Note: "For whoever is on call without an account: the watch and the hand-over sheet."},
	}})
	return name, part
}

func (l DayLinkLine) stamp() *ui.StampText {
	s := ui.StampText{Word: l.State, Look: ui.LookRock, Mark: ui.MarkMinus}
	if l.State == "open" {
		s = ui.StampText{Word: l.State, Look: ui.LookLeaf, Mark: ui.MarkTick}
	}
	return &s
}

func (t DayLinksText) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Who"}, {Label: "Part"}, {Label: "State"},
		{Label: "Made"}, {Label: "Last used"}, {Label: "Ends"}, {Label: "Take back"}}}
	for _, x := range t.Links {
		back := ui.Cell{Text: "-"}
		if x.Withdraw.URL != "" {
			back = ui.Cell{Part: ui.ButtonForm(x.Withdraw)}
		}
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name}, {Text: x.Part}, {Stamp: x.stamp()}, {Text: x.Made},
			{Text: x.Used}, {Text: x.Ends}, back})
	}
	return l
}
