package view

import "saltbush/web/ui"

// TrailsPage is the catalogue of trails, for the public and for staff.
type TrailsPage struct {
	ui.Page
	Manage bool // the viewer may add a trail
	Trails []ui.TrailLine
}

func (p TrailsPage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{
		{Label: "Trail"}, {Label: "Difficulty"}, {Label: "Length", Figure: true}, {Label: "Ascent", Figure: true},
		{Label: "Lowest to highest", Figure: true}, {Label: "Shape"},
	}}
	for _, t := range p.Trails {
		l.Rows = append(l.Rows, []ui.Cell{
			{Text: t.Name, URL: t.URL, Note: t.Summary}, t.Difficulty(), {Text: t.Length}, {Text: t.Ascent},
			t.Heights(), {Text: t.Shape},
		})
	}
	return l
}
