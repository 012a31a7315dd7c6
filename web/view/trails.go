package view

// TrailsPage is the catalogue of trails, for the public and for staff.
type TrailsPage struct {
	Page
	Manage bool // the viewer may add a trail
	Trails []TrailLine
}

// TrailLine is one trail of the catalogue. Figures that are not known stay empty.
type TrailLine struct {
	Name, URL, Summary string
	Length, Ascent     string // "7.7 km", "240 m"
	Highest, Lowest    string
	Class, Number      string // "moderate", "87": a class never stands without its number
	Shape              string // "out-and-back"
}

func (p TrailsPage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{
		{Label: "Trail"}, {Label: "Difficulty"}, {Label: "Length", Figure: true}, {Label: "Ascent", Figure: true},
		{Label: "Lowest to highest", Figure: true}, {Label: "Shape"},
	}}
	for _, t := range p.Trails {
		l.Rows = append(l.Rows, []Cell{
			{Text: t.Name, URL: t.URL, Note: t.Summary}, t.difficulty(), {Text: t.Length}, {Text: t.Ascent}, t.heights(), {Text: t.Shape},
		})
	}
	return l
}

func (t TrailLine) difficulty() Cell {
	if t.Number == "" || t.Class == "" {
		return Cell{}
	}
	return Cell{Text: t.Number + " " + t.Class}
}

func (t TrailLine) heights() Cell {
	if t.Lowest == "" || t.Highest == "" {
		return Cell{}
	}
	return Cell{Text: t.Lowest + " to " + t.Highest}
}
