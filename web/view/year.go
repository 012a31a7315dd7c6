package view

import (
	"strings"
	"time"

	"github.com/a-h/templ"

	"saltbush/internal/format"
	"saltbush/internal/plan"
)

// YearText says in which months and at which hours a trail may be led.
type YearText struct {
	Unknown  string // why nothing is known; then there is nothing else
	Drawing  templ.Component
	Months   LedgerText
	Notes    []string
	Cautions []string
	From     []format.Line
}

// NewYearText tells a year in the viewer's units.
func NewYearText(y plan.YearPlan, sys format.System) YearText {
	return YearText{Drawing: DrawnYear(NewYearDrawing(y)), Months: yearLedger(y, sys), Notes: y.Notes, Cautions: y.Cautions}
}

func yearLedger(y plan.YearPlan, sys format.System) LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Month"}, {Label: "Usual day", Figure: true}, {Label: "Starts that pass", Figure: true},
		{Label: "Hot day", Figure: true}, {Label: "Starts that pass then", Figure: true}}}
	for _, m := range y.Months {
		name := Cell{Text: m.Month.String()}
		if !m.Known {
			continue // the drawing and the notes say which months are not known
		}
		l.Rows = append(l.Rows, []Cell{name,
			{Text: format.Temperature(m.Usual.Forecast.Low, sys) + " to " + format.Temperature(m.Usual.Forecast.High, sys)}, {Text: YearWindow(*m.Usual)},
			{Text: "up to " + format.Temperature(m.Hot.Forecast.High, sys)}, {Text: YearWindow(*m.Hot)}})
	}
	return l
}

// YearWindow writes when a walk may start on a day: "05:35 to 08:10", "with care, 05:35 to
// 06:00" or "none".
func YearWindow(d plan.YearDay) string {
	clocks := func(from, to plan.Instant) string { return format.ClockRange(from.Time, to.Time, from.Location()) }
	switch {
	case !d.Earliest.IsZero():
		return clocks(d.Earliest, d.Latest)
	case d.Care != nil:
		return "with care, " + clocks(d.Care.Earliest, d.Care.Latest)
	}
	return "none"
}

// YearSign is one sign of a year's table: what limits a start, small where it asks for
// care and large where the trail is not led then.
type YearSign struct{ Sign, Words string }

// yearLetters are the letters of the planning service's limits.
func yearLetters() map[string]string {
	return map[string]string{
		"house ladder": "h", "work in heat": "w", "off-by time": "o", "first light": "l", "daylight": "l", "turnaround": "t", "drinking": "d", "time zone": "z",
	}
}

// SignOfYear is the sign of one start: a point where the trail may be led. A stroke after it
// says that the hot day alone decides so.
func SignOfYear(s plan.YearStart) string {
	letter, known := yearLetters()[s.Limit]
	switch {
	case s.Answer == plan.MayBeLed:
		return "."
	case !known:
		letter = "x"
	}
	if s.Answer == plan.Not {
		letter = strings.ToUpper(letter)
	}
	if s.DecidedBy == plan.HotDay {
		letter += "'"
	}
	return letter
}

// YearSigns lists every sign with its words.
func YearSigns() []YearSign {
	return []YearSign{
		{".", "may be led"},
		{"h H", "house ladder: shade, spare water and a shorter way; not from its second step on"},
		{"w W", "work in heat: over the limit for people not used to it; for everybody"},
		{"o O", "somebody would still be out when the trail gets too hot"},
		{"l L", "light: before first light; not back in daylight"},
		{"t T", "the far point is reached after the turnaround"},
		{"d D", "more drinking than anybody can keep up"},
		{"'", "after a letter: only on the month's hot day; the usual day is calmer"},
		{"small", "with care"},
		{"LARGE", "not"},
	}
}

// YearHours are the hours of day of a year's starts.
func YearHours(y plan.YearPlan) []int {
	for _, m := range y.Months {
		if len(m.Starts) > 0 {
			hours := make([]int, len(m.Starts))
			for i, s := range m.Starts {
				hours[i] = s.At.Hour()
			}
			return hours
		}
	}
	return nil
}

// YearFields are the questions for monthly normals.
type YearFields struct{ Normals, File, Source Field }

// NewYearFields asks for monthly normals, beginning with those on file or with the twelve
// months.
func NewYearFields(a Answers, n plan.Normals, source string) YearFields {
	f := YearFields{
		Normals: a.Asked(Field{Name: "normals", Label: "Months", Optional: true,
			Hint: "One month a line, each figure with its unit: 19C or 66F, 3m/s or 7mph, 15%. The head may name humidity (at the hottest hour) in place of dewpoint. " +
				"hot_by is how much hotter a hot day of the month is; without it the house's allowance for the forecast is taken. A month left empty is not known."}),
		File:   a.Asked(Field{Name: "normals_file", Label: "Or a CSV file of the same form", Optional: true}),
		Source: a.Asked(Field{Name: "normals_source", Label: "Where they are from", Optional: true, Hint: "Such as: means of 1991 to 2020 at the nearest weather station, and how much higher or lower that stands."}),
	}
	if _, typed := a.Typed["normals"]; !typed {
		f.Normals.Value, f.Source.Value = n.Text(), source
	}
	return f
}

// All lists the questions for the head of the form.
func (f YearFields) All() []Field { return []Field{f.Normals, f.File, f.Source} }

// monthShort is a month's name on a scale.
func monthShort(m time.Month) string { return m.String()[:3] }
