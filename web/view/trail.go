package view

import (
	"strings"

	"github.com/a-h/templ"

	"saltbush/internal/format"
)

// TrailPage is one trail: figures, drawings and points, and for staff what can be changed.
type TrailPage struct {
	Page
	Manage            bool
	URL               string // "/trails/7"; forms post to places under it
	Name, Summary     string
	Length            string // of the whole walk, the way back included
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
	ShapeField        Field
	Point             TrailPointFields
	Year              YearText
	YearFields        YearFields
	UnplacedWaypoints []string // names of the file's waypoints that lie too far from the line
}

// TrailPoint is a place on the way.
type TrailPoint struct {
	Kind, Name, Along, Note string
	RemoveURL               string // "" where the viewer may not
}

// figures are the blanks at the head of the page.
func (p TrailPage) figures() []FigureText {
	return []FigureText{
		p.difficulty(),
		blank("Length", p.Length, p.Shape),
		blank("Ascent", p.Ascent, ""),
		blank("Descent", p.Descent, ""),
		blank("Lowest", p.Lowest, ""),
		blank("Highest", p.Highest, ""),
	}
}

// difficulty never shows a class without its number.
func (p TrailPage) difficulty() FigureText {
	if p.Number == "" || p.Class == "" {
		return FigureText{Label: "Difficulty", Note: "It needs length and ascent."}
	}
	return FigureText{Label: "Difficulty", Value: p.Number, Unit: p.Class}
}

// steep says where the way is hardest, and whether that raised the class.
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

// asked lists every question of the page, for its head when a form came back.
func (p TrailPage) asked() []Field {
	ground := append(p.Ground.Scout.All(), p.Ground.Closure.All()...)
	return append(append(append(p.Point.All(), p.YearFields.All()...), p.ShapeField), ground...)
}

func (p TrailPage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Place"}, {Label: "What it is"}, {Label: "From the start", Figure: true}, {Label: "Note"}}}
	if p.Manage {
		l.Columns = append(l.Columns, Column{Label: "Change"})
	}
	for _, pt := range p.Points {
		row := []Cell{{Text: pt.Name}, {Text: pt.Kind}, {Text: pt.Along}, {Text: orDash(pt.Note)}}
		if p.Manage {
			remove := ButtonText{Label: "Remove", Kind: ButtonQuiet, URL: pt.RemoveURL, About: pt.Name}
			row = append(row, Cell{Part: ButtonForm(remove)})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

// TrailPointFields are the questions for a new point.
type TrailPointFields struct{ Kind, Name, Along, Unit, Note, WaterSeen Field }

// NewTrailPointFields asks for a point. Kinds are the kinds of points in the order to
// offer them.
func NewTrailPointFields(a Answers, kinds []Option, sys format.System) TrailPointFields {
	return TrailPointFields{
		Kind:  a.Asked(Field{Name: "kind", Label: "What it is", Options: kinds, Short: true}),
		Name:  a.Asked(Field{Name: "name", ID: "point-name", Label: "Its name", Hint: "As you would say it to somebody who is lost."}),
		Along: a.Asked(Field{Name: "along", Label: "Distance from the start", Hint: "Along the way, not as the crow flies.", Short: true}),
		Unit:  a.Asked(Field{Name: "along_unit", Label: "Measured in", Short: true, Options: distanceUnits(sys)}),
		Note:  a.Asked(Field{Name: "note", Label: "Note", Optional: true, Hint: "Such as: shade until nine, room for twelve."}),
		WaterSeen: a.Asked(Field{Name: "water_seen", Label: "Water seen on", Optional: true, Kind: "date", Short: true,
			Hint: "Only for water: the day on which the house confirmed it. Without a day within 30 days before a hike, no plan counts on it."}),
	}
}

// All lists the questions for the head of the form.
func (f TrailPointFields) All() []Field {
	return []Field{f.Kind, f.Name, f.Along, f.Unit, f.Note, f.WaterSeen}
}

func distanceUnits(sys format.System) []Option {
	return []Option{{Value: "km", Label: "kilometres", Selected: sys != format.US}, {Value: "mi", Label: "miles", Selected: sys == format.US}}
}

// NewShapeField asks how the walk uses its track.
func NewShapeField(a Answers, now string) Field {
	f := Field{Name: "shape", Label: "How the track is walked", Options: chosen([]Option{
		{Value: "one-way", Label: "One way", Note: "As recorded; it ends somewhere else."},
		{Value: "out-and-back", Label: "Out and back", Note: "To the end of the recording and back the same way: length and climb count twice."},
		{Value: "loop", Label: "Loop", Note: "As recorded; it ends where it began."},
	}, []string{now})}
	return a.Asked(f)
}

// blank makes a figure of text such as "7.7 km" or "200 to 300 kcal an hour": numbers on
// the line, what they count beside. Text of another form stands on the line whole.
func blank(label, text, note string) FigureText {
	words := strings.Fields(text)
	n := 0
	for n < len(words) && (words[n] == "to" || strings.Trim(words[n], "0123456789.,-") == "") {
		n++
	}
	unit := strings.Join(words[n:], " ")
	if n == 0 || strings.ContainsAny(unit, "0123456789") {
		return FigureText{Label: label, Value: text, Note: note}
	}
	return FigureText{Label: label, Value: strings.Join(words[:n], " "), Unit: unit, Note: note}
}

// orDash marks a cell that is empty on purpose; an empty text would say "not known".
func orDash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// NewFigure makes a figure of ready text such as "7.7 km", its number set large.
func NewFigure(label, text, note string) FigureText { return blank(label, text, note) }
