package kit

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// Form reads typed values and collects what is wrong with them, field by field.
type Form struct {
	R      *http.Request
	Faults fault.Invalid
}

func NewForm(r *http.Request) Form { return Form{R: r, Faults: fault.Invalid{}} }

// FormOf reads values that came another way than by a form, such as a line of a table. So
// whatever reads a form reads them too.
func FormOf(values url.Values) Form {
	return Form{R: &http.Request{PostForm: values}, Faults: fault.Invalid{}}
}

// Text returns a field of one line, cleaned.
func (f Form) Text(name string) string { return text.Line(f.R.PostFormValue(name)) }

// Paragraph returns a field of several lines, cleaned. It goes with view.FieldArea.
func (f Form) Paragraph(name string) string { return text.Paragraph(f.R.PostFormValue(name)) }

// Checked reports whether a box is ticked.
func (f Form) Checked(name string) bool { return f.R.PostFormValue(name) != "" }

// Whole reads a whole number; an empty field is zero.
func (f Form) Whole(name, message string) int { return f.WholeOf(name, f.Text(name), message) }

func (f Form) WholeOf(name, typed, message string) int {
	if typed == "" {
		return 0
	}
	n, err := strconv.Atoi(typed)
	if err != nil {
		f.Faults.Add(name, message)
	}
	return n
}

// Number reads a decimal number, with a point or a comma; an empty field is a fault
// where a message is given.
func (f Form) Number(name, message string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(f.Text(name), ",", ".", 1), 64)
	if err != nil || v != v {
		f.Faults.Add(name, message)
		return 0
	}
	return v
}

// Temperature reads a number in the unit that the field named unitField says.
func (f Form) Temperature(name, unitField, message string) unit.Temperature {
	v := f.Number(name, message)
	if f.Text(unitField) == "F" {
		return unit.Fahrenheit(v)
	}
	return unit.Celsius(v)
}

// Speed reads a number in the unit that the field named unitField says.
func (f Form) Speed(name, unitField, message string) unit.Speed {
	v := unit.Speed(f.Number(name, message))
	switch f.Text(unitField) {
	case "mph":
		return v * unit.MilePerHour
	case "km/h":
		return v * unit.KilometrePerHour
	case "kn":
		return v * unit.Knot
	}
	return v * unit.MetrePerSecond
}

// Length reads a number in the unit that the field named unitField says.
func (f Form) Length(name, unitField, message string) unit.Length {
	v := unit.Length(f.Number(name, message))
	switch f.Text(unitField) {
	case "km":
		return v * unit.Kilometre
	case "mi":
		return v * unit.Mile
	case "ft":
		return v * unit.Foot
	}
	return v * unit.Metre
}

// DayOrNone reads a date; an empty field is none.
func (f Form) DayOrNone(name, message string) time.Time {
	if f.Text(name) == "" {
		return time.Time{}
	}
	day, err := time.Parse(time.DateOnly, f.Text(name))
	if err != nil {
		f.Faults.Add(name, message)
	}
	return day
}

// Moment reads a wall clock on a day in a zone. A clock time that a change to summer
// time skips is a fault: nobody can meet at it.
func (f Form) Moment(dayField, clockField string, zone *time.Location) time.Time {
	day, err := time.Parse(time.DateOnly, f.Text(dayField))
	if err != nil {
		f.Faults.Add(dayField, "Give the date, such as 2027-03-14.")
		return time.Time{}
	}
	clock, err := time.Parse("15:04", f.Text(clockField))
	if err != nil {
		f.Faults.Add(clockField, "Give a time, such as 06:30.")
		return time.Time{}
	}
	t := time.Date(day.Year(), day.Month(), day.Day(), clock.Hour(), clock.Minute(), 0, 0, zone)
	if t.Hour() != clock.Hour() || t.Minute() != clock.Minute() {
		f.Faults.Add(clockField, "The clocks change that night and skip this time. Give another.")
	}
	return t
}

// Invalid merges the form's own faults with those of the domain's Validate; nil where
// there are none. Any other error is returned as it is.
func (f Form) Invalid(err error) (fault.Invalid, error) {
	if v, ok := err.(fault.Invalid); ok {
		for field, message := range v {
			f.Faults.Add(field, message)
		}
		err = nil
	}
	if err != nil {
		return nil, err
	}
	if len(f.Faults) == 0 {
		return nil, nil
	}
	return f.Faults, nil
}

// FormStateOf gives a page what was typed into its form and what is wrong with it.
func FormStateOf(r *http.Request, wrong fault.Invalid) ui.FormState {
	return ui.FormState{Values: r.PostForm, Errors: wrong}
}

// Leaves lists the errors that were joined into one.
func Leaves(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, e := range joined.Unwrap() {
		all = append(all, Leaves(e)...)
	}
	return all
}

// FormAnswers gives a form its answers back if it was the one that was sent.
func FormAnswers(r *http.Request, form string, a ui.FormState) ui.FormState {
	if r.URL.Path == paths.Hike(HikeIn(r).ID)+"/"+form {
		return a
	}
	return ui.FormState{}
}

// Date reads a date; an empty field is no date.
func (f Form) Date(name string) unit.Date {
	if f.Text(name) == "" {
		return unit.Date{}
	}
	d, err := unit.ParseDate(f.Text(name))
	if err != nil {
		f.Faults.Add(name, "Give a day, such as 2027-03-14.")
	}
	return d
}

// Standing reads a change of a person's level or status.
func (f Form) Standing(by string, now time.Time) team.Approval {
	c := team.Approval{From: f.Date("from"), Level: team.Level(f.Text("level")), MaxClass: track.Class(f.Text("max_class")),
		Status: team.Status(f.Text("status")), Reason: f.Text("reason"), By: by, Written: now}
	for _, e := range f.R.PostForm["endorsements"] {
		c.Endorsements = append(c.Endorsements, team.Endorsement(e))
	}
	return c
}

// Certificate reads a paper that a person holds.
func (f Form) Certificate(of ref.Account) team.Certificate {
	return team.Certificate{Account: of, Kind: f.Text("certificate"), Issuer: f.Text("issuer"), Number: f.Text("number"), Through: f.Date("through"), Evidence: f.Text("evidence")}
}

// House judgement: words beside the track in an upload.
const FormExtra = 64 << 10
