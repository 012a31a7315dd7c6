package view

import (
	"slices"

	"github.com/a-h/templ"

	"saltbush/internal/format"
	"saltbush/web/ui"
)

// TrailPage is one trail: figures, drawings and points, and forms for staff.
type TrailPage struct {
	ui.Page
	Manage            bool
	URL               string // "/trails/7"; forms post to places under it
	Name, Summary     string
	Length            string // of the whole walk, including the way back
	Ascent, Descent   string
	Lowest, Highest   string
	Steepest          string // "28 % up"
	SteepestWhere     string // "from 2.1 to 2.2 km"
	Number, Class     string
	Raised            string // why the class is above what the number says, "" where it is not
	Shape, Surface    string
	Zone              string
	TrackNotes        []string // what is odd about the recording
	Map, Profile      templ.Component
	Points            []TrailPoint
	Meeting, Manager  string
	PermitCap, Signal string
	Permit            string // its number
	Ground            GroundText
	ScheduleURL       string
	EditURL, TrackURL string
	ShapeFields       ui.Fields
	Point             ui.Fields
	Year              YearText
	YearFields        ui.Fields
	UnplacedWaypoints []string // waypoints of the file that are too far from the line
}

// TrailPoint is a place on the way.
type TrailPoint struct {
	Kind, Name, Along, Note string
	RemoveURL               string // "" where the viewer may not
}

// figures are at the head of the page.
func (p TrailPage) figures() []ui.FigureText {
	return []ui.FigureText{
		p.difficulty(),
		ui.NewFigure("Length", p.Length, p.Shape),
		ui.NewFigure("Ascent", p.Ascent, ""),
		ui.NewFigure("Descent", p.Descent, ""),
		ui.NewFigure("Lowest", p.Lowest, ""),
		ui.NewFigure("Highest", p.Highest, ""),
	}
}

// difficulty never shows a class without its number.
func (p TrailPage) difficulty() ui.FigureText {
	if p.Number == "" || p.Class == "" {
		return ui.FigureText{Label: "Difficulty", Note: "It needs length and ascent."}
	}
	return ui.FigureText{Label: "Difficulty", Value: p.Number, Unit: p.Class}
}

// steep says where the trail is steepest, and whether that raised the class.
func (p TrailPage) steep() []format.Line {
	lines := []format.Line{{Label: "Steepest 100 m", Value: p.Steepest, Note: p.SteepestWhere}}
	if p.Raised != "" {
		lines = append(lines, format.Line{Label: "Why " + p.Class, Value: p.Raised})
	}
	return lines
}

func (p TrailPage) lines() []format.Line {
	return []format.Line{
		{Label: "Meeting point", Value: p.Meeting},
		{Label: "Land manager", Value: p.Manager},
		{Label: "Largest party", Value: p.PermitCap},
		{Label: "Permit number", Value: p.Permit},
		{Label: "Phone signal", Value: p.Signal},
		{Label: "Underfoot", Value: p.Surface},
		{Label: "Clock of the trailhead", Value: p.Zone},
	}
}

// questions lists every field of the page, for the errors at its head.
func (p TrailPage) questions() ui.Fields {
	return slices.Concat(p.Point, p.YearFields, p.ShapeFields, p.Ground.Scout, p.Ground.Closure)
}

func (p TrailPage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Place"}, {Label: "What it is"},
		{Label: "From the start", Figure: true}, {Label: "Note"}}}
	if p.Manage {
		l.Columns = append(l.Columns, ui.Column{Label: "Change"})
	}
	for _, pt := range p.Points {
		row := []ui.Cell{{Text: pt.Name}, {Text: pt.Kind}, {Text: pt.Along}, {Text: ui.OrDash(pt.Note)}}
		if p.Manage {
			remove := ui.ButtonText{Label: "Remove", Kind: ui.ButtonQuiet, URL: pt.RemoveURL, About: pt.Name}
			row = append(row, ui.Cell{Part: ui.ButtonForm(remove)})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}
