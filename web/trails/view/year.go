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
	Unknown  string // why nothing is known; then the rest is empty
	Drawing  templ.Component
	Months   ui.LedgerText
	Notes    []string
	Cautions []string
	From     []format.Line
}

// NewYearText describes a year in the viewer's units.
func NewYearText(y plan.YearPlan, sys format.System) YearText {
	return YearText{Drawing: chart.DrawnYear(chart.NewYearDrawing(y)), Months: yearLedger(y, sys), Notes: y.Notes,
		Cautions: y.Cautions}
}

func yearLedger(y plan.YearPlan, sys format.System) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Month"}, {Label: "Usual day", Figure: true},
		{Label: "Starts that pass", Figure: true},
		{Label: "Hot day", Figure: true}, {Label: "Starts that pass then", Figure: true}}}
	for _, m := range y.Months {
		name := ui.Cell{Text: m.Month.String()}
		if !m.Known {
			continue // the drawing and the notes say which months are not known
		}
		l.Rows = append(l.Rows, []ui.Cell{name,
			{Text: format.Temperature(m.Usual.Forecast.Low, sys) + " to " +
				format.Temperature(m.Usual.Forecast.High, sys)}, {Text: chart.YearWindow(*m.Usual)},
			{Text: "up to " + format.Temperature(m.Hot.Forecast.High, sys)}, {Text: chart.YearWindow(*m.Hot)}})
	}
	return l
}
