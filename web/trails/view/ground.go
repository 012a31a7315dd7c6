package view

import "saltbush/web/ui"

// GroundText is what is known of the state of a trail: who walked it last, and what is closed.
type GroundText struct {
	Scouted  ui.StampText
	Says     string // "Walked 12 May 2026 by Rosa Lind, 9 days ago. A report stands 90 days at this time of the year."
	Reports  []ReportLine
	Closures []ClosureLine
	Scout    ui.Fields
	Closure  ui.Fields
}

// ReportLine is one scout report.
type ReportLine struct{ Walked, By, Times, Conditions, Hazards string }

// ClosureLine is one closure.
type ClosureLine struct {
	When, Why, Source, Kind string
	RemoveURL               string // "" where the viewer may not
}

func (g GroundText) reports() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Walked"}, {Label: "How the way was"}, {Label: "Hazards"}, {Label: "Times"}}}
	for _, r := range g.Reports {
		l.Rows = append(l.Rows, []ui.Cell{{Text: r.Walked, Note: r.By}, {Text: r.Conditions},
			{Text: ui.OrDash(r.Hazards)}, {Text: ui.OrDash(r.Times)}})
	}
	return l
}

func (p TrailPage) closures() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "When"}, {Label: "Why"}, {Label: "Whose word"}, {Label: "Meaning"}}}
	if p.Manage {
		l.Columns = append(l.Columns, ui.Column{Label: "Change"})
	}
	for _, c := range p.Ground.Closures {
		row := []ui.Cell{{Text: c.When}, {Text: c.Why}, {Text: c.Source}, {Text: c.Kind}}
		if p.Manage {
			row = append(row, ui.Cell{Part: ui.ButtonForm(ui.ButtonText{Label: "Remove", Kind: ui.ButtonQuiet,
				URL: c.RemoveURL, About: c.Why})})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}
