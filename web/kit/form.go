package kit

import (
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/paths"
	"saltbush/internal/text"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// FormExtra is how many bytes a form may hold beside an uploaded file.
// Our judgment: it is far more than anybody types.
const FormExtra = 64 << 10

// Form reads the values of a form and collects what is wrong with them, field by field.
type Form struct {
	Values url.Values
	Faults fault.Invalid
}

// NewForm returns the form in the body of a request. A body that cannot be parsed has no values.
func NewForm(r *http.Request) Form {
	r.PostFormValue("") // parses the body, whatever its type
	return FormOf(r.PostForm)
}

// FormOf returns a form of values that came another way, such as from a line of a table.
func FormOf(values url.Values) Form { return Form{Values: values, Faults: fault.Invalid{}} }

// Text returns a field of one line, cleaned.
func (f Form) Text(name string) string { return text.Line(f.Values.Get(name)) }

// Paragraph returns a field of several lines, cleaned.
func (f Form) Paragraph(name string) string { return text.Paragraph(f.Values.Get(name)) }

// Checked reports whether a box is ticked.
func (f Form) Checked(name string) bool { return f.Values.Get(name) != "" }

// Whole reads a whole number. An empty field is zero.
func (f Form) Whole(name, message string) int { return f.WholeOf(name, f.Text(name), message) }

// WholeOf is Whole for a value that is one of several of its field.
func (f Form) WholeOf(name, value, message string) int {
	if value == "" {
		return 0
	}
	n, err := strconv.Atoi(value)
	if err != nil {
		f.Faults.Add(name, message)
	}
	return n
}

// Number reads a decimal number, with a point or a comma. An empty field is a fault.
func (f Form) Number(name, message string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(f.Text(name), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) {
		f.Faults.Add(name, message)
		return 0
	}
	return v
}

// Temperature reads a number in the unit that another field names.
func (f Form) Temperature(name, unitField, message string) unit.Temperature {
	v := f.Number(name, message)
	if f.Text(unitField) == "F" {
		return unit.Fahrenheit(v)
	}
	return unit.Celsius(v)
}

// Speed reads a number in the unit that another field names.
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

// Length reads a number in the unit that another field names.
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

// Date reads a day. An empty field is no day.
func (f Form) Date(name, message string) unit.Date {
	if f.Text(name) == "" {
		return unit.Date{}
	}
	d, err := unit.ParseDate(f.Text(name))
	if err != nil {
		f.Faults.Add(name, message)
	}
	return d
}

// Moment reads a day and a clock time in a zone. A clock time that a change to summer time
// skips is a fault: nobody can meet at it.
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

// Invalid merges the form's own faults with those of the domain's Validate. It returns nil
// where there are none. Any other error is returned as it is.
func (f Form) Invalid(err error) (fault.Invalid, error) {
	if invalid, ok := err.(fault.Invalid); ok {
		for field, message := range invalid {
			f.Faults.Add(field, message)
		}
		err = nil
	}
	if err != nil || len(f.Faults) == 0 {
		return nil, err
	}
	return f.Faults, nil
}

// FormStateOf returns what was sent with a form and what is wrong with it, for the page that
// shows the form again.
func FormStateOf(r *http.Request, faults fault.Invalid) ui.FormState {
	return ui.FormState{Values: r.PostForm, Errors: faults}
}

// FormAnswers returns the state to the form below the hike's path that was sent, and an empty
// state to the other forms of the page.
func FormAnswers(r *http.Request, form string, state ui.FormState) ui.FormState {
	if r.URL.Path == paths.Hike(HikeIn(r).ID)+"/"+form {
		return state
	}
	return ui.FormState{}
}
