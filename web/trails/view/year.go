package view

import (
	"github.com/a-h/templ"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/web/chart"
	"saltbush/web/ui"
)

// YearText says in which months and at which hours a trail may be led.
type YearText struct {
	Unknown  string // why nothing is known; then there is nothing else
	Drawing  templ.Component
	Months   ui.LedgerText
	Notes    []string
	Cautions []string
	From     []format.Line
}

// NewYearText tells a year in the viewer's units.
func NewYearText(y plan.YearPlan, sys format.System) YearText {
	return YearText{Drawing: chart.DrawnYear(chart.NewYearDrawing(y)), Months: yearLedger(y, sys), Notes: y.Notes, Cautions: y.Cautions}
}

func yearLedger(y plan.YearPlan, sys format.System) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Month"}, {Label: "Usual day", Figure: true}, {Label: "Starts that pass", Figure: true},
		{Label: "Hot day", Figure: true}, {Label: "Starts that pass then", Figure: true}}}
	for _, m := range y.Months {
		name := ui.Cell{Text: m.Month.String()}
		if !m.Known {
			continue // the drawing and the notes say which months are not known
		}
		l.Rows = append(l.Rows, []ui.Cell{name,
			{Text: format.Temperature(m.Usual.Forecast.Low, sys) + " to " + format.Temperature(m.Usual.Forecast.High, sys)}, {Text: chart.YearWindow(*m.Usual)},
			{Text: "up to " + format.Temperature(m.Hot.Forecast.High, sys)}, {Text: chart.YearWindow(*m.Hot)}})
	}
	return l
}

// YearFields are the questions for monthly normals.
type YearFields struct{ Normals, File, Source ui.Field }

// NewYearFields asks for monthly normals, beginning with those on file or with the twelve
// months.
func NewYearFields(a ui.FormState, n plan.Normals, source string) YearFields {
	f := YearFields{
		Normals: a.Bind(ui.Field{Name: "normals", Label: "Months", Optional: true,
			Hint: "One month a line, each figure with its unit: 19C or 66F, 3m/s or 7mph, 15%. The head may name humidity (at the hottest hour) in place of dewpoint. " +
				"hot_by is how much hotter a hot day of the month is; without it the house's allowance for the forecast is taken. A month left empty is not known."}),
		File:   a.Bind(ui.Field{Name: "normals_file", Label: "Or a CSV file of the same form", Optional: true}),
		Source: a.Bind(ui.Field{Name: "normals_source", Label: "Where they are from", Optional: true, Hint: "Such as: means of 1991 to 2020 at the nearest weather station, and how much higher or lower that stands."}),
	}
	if _, typed := a.Values["normals"]; !typed {
		f.Normals.Value, f.Source.Value = n.Text(), source
	}
	return f
}

// All lists the questions for the head of the form.
func (f YearFields) All() []ui.Field { return []ui.Field{f.Normals, f.File, f.Source} }
