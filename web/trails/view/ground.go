package view

import "saltbush/web/ui"

// GroundText is what is known of a trail as it lies: who walked it last, and what is closed.
type GroundText struct {
	Scouted  ui.StampText
	Says     string // "Walked 12 May 2026 by Rosa Lind, 9 days ago. A report stands 90 days at this time of the year."
	Reports  []ReportLine
	Closures []ClosureLine
	Scout    ScoutFields
	Closure  ClosureFields
}

// ReportLine is one scout report.
type ReportLine struct{ Walked, By, Times, Conditions, Hazards string }

// ClosureLine is one closure.
type ClosureLine struct {
	When, Why, Source, Kind string
	RemoveURL               string // "" where the viewer may not
}

// ScoutFields are the questions of a scout report.
type ScoutFields struct{ Walked, By, Times, Conditions, Hazards ui.Field }

// ClosureFields are the questions about a closure.
type ClosureFields struct{ From, To, Why, Source, Blocks ui.Field }

// NewScoutFields asks for a report.
func NewScoutFields(a ui.FormState) ScoutFields {
	return ScoutFields{
		Walked:     a.Bind(ui.Field{Name: "walked", ID: "scout-walked", Label: "Walked on", Kind: "date", Short: true}),
		By:         a.Bind(ui.Field{Name: "scout_by", Label: "By", Hint: "Who can be asked."}),
		Times:      a.Bind(ui.Field{Name: "times", Label: "Times", Optional: true, Hint: "How long it took, and with how many."}),
		Conditions: a.Bind(ui.Field{Name: "conditions", Label: "How the way is", Hint: "Footing, washouts, signs, shade, the road in."}),
		Hazards:    a.Bind(ui.Field{Name: "hazards", Label: "Hazards", Optional: true, Hint: "With their place: bees at the second tree, a loose step at 2.1 km."}),
	}
}

// All lists the questions for the head of the form.
func (f ScoutFields) All() []ui.Field {
	return []ui.Field{f.Walked, f.By, f.Times, f.Conditions, f.Hazards}
}

// NewClosureFields asks for a closure.
func NewClosureFields(a ui.FormState) ClosureFields {
	return ClosureFields{
		From:   a.Bind(ui.Field{Name: "from_day", Label: "First day", Kind: "date", Short: true}),
		To:     a.Bind(ui.Field{Name: "to_day", Label: "Last day", Kind: "date", Short: true, Optional: true, Hint: "Empty until further notice."}),
		Why:    a.Bind(ui.Field{Name: "why", Label: "What is closed, and why"}),
		Source: a.Bind(ui.Field{Name: "source", Label: "Whose word it is", Hint: "The land manager's page, a call, a sign."}),
		Blocks: a.Bind(ui.Field{Name: "blocks", Label: "What it means", Options: []ui.Option{
			{Value: "yes", Label: "No hike goes here", Note: "Hikes on these days cannot be posted or moved here.", Selected: true},
			{Value: "no", Label: "A caution", Note: "A part is closed, or a use of it; hikes are flagged."}}}),
	}
}

// All lists the questions for the head of the form.
func (f ClosureFields) All() []ui.Field { return []ui.Field{f.From, f.To, f.Why, f.Source, f.Blocks} }

func (g GroundText) reports() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Walked"}, {Label: "How the way was"}, {Label: "Hazards"}, {Label: "Times"}}}
	for _, r := range g.Reports {
		l.Rows = append(l.Rows, []ui.Cell{{Text: r.Walked, Note: r.By}, {Text: r.Conditions}, {Text: ui.OrDash(r.Hazards)}, {Text: ui.OrDash(r.Times)}})
	}
	return l
}

func (p TrailPage) closures() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "When"}, {Label: "Why"}, {Label: "Whose word"}, {Label: "Meaning"}}}
	if p.Manage {
		l.Columns = append(l.Columns, ui.Column{Label: "Change"})
	}
	for _, c := range p.Ground.Closures {
		row := []ui.Cell{{Text: c.When}, {Text: c.Why}, {Text: c.Source}, {Text: c.Kind}}
		if p.Manage {
			row = append(row, ui.Cell{Part: ui.ButtonForm(ui.ButtonText{Label: "Remove", Kind: ui.ButtonQuiet, URL: c.RemoveURL, About: c.Why})})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}
