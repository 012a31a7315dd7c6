package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/text"
	"saltbush/internal/unit"
	"saltbush/web/view"
)

// form reads typed values and collects what is wrong with them, field by field.
type form struct {
	r      *http.Request
	faults hike.Invalid
}

func newForm(r *http.Request) form { return form{r: r, faults: hike.Invalid{}} }

// formOf reads values that came another way than by a form, such as a line of a table. So
// whatever reads a form reads them too.
func formOf(values url.Values) form {
	return form{r: &http.Request{PostForm: values}, faults: hike.Invalid{}}
}

// text returns a field of one line, cleaned.
func (f form) text(name string) string { return text.Line(f.r.PostFormValue(name)) }

// paragraph returns a field of several lines, cleaned. It goes with view.FieldArea.
func (f form) paragraph(name string) string { return text.Paragraph(f.r.PostFormValue(name)) }

// checked reports whether a box is ticked.
func (f form) checked(name string) bool { return f.r.PostFormValue(name) != "" }

// whole reads a whole number; an empty field is zero.
func (f form) whole(name, message string) int { return f.wholeOf(name, f.text(name), message) }

func (f form) wholeOf(name, typed, message string) int {
	if typed == "" {
		return 0
	}
	n, err := strconv.Atoi(typed)
	if err != nil {
		f.faults.Add(name, message)
	}
	return n
}

// number reads a decimal number, with a point or a comma; an empty field is a fault
// where a message is given.
func (f form) number(name, message string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(f.text(name), ",", ".", 1), 64)
	if err != nil || v != v {
		f.faults.Add(name, message)
		return 0
	}
	return v
}

// temperature reads a number in the unit that the field named unitField says.
func (f form) temperature(name, unitField, message string) unit.Temperature {
	v := f.number(name, message)
	if f.text(unitField) == "F" {
		return unit.Fahrenheit(v)
	}
	return unit.Celsius(v)
}

// speed reads a number in the unit that the field named unitField says.
func (f form) speed(name, unitField, message string) unit.Speed {
	v := unit.Speed(f.number(name, message))
	switch f.text(unitField) {
	case "mph":
		return v * unit.MilePerHour
	case "km/h":
		return v * unit.KilometrePerHour
	case "kn":
		return v * unit.Knot
	}
	return v * unit.MetrePerSecond
}

// length reads a number in the unit that the field named unitField says.
func (f form) length(name, unitField, message string) unit.Length {
	v := unit.Length(f.number(name, message))
	switch f.text(unitField) {
	case "km":
		return v * unit.Kilometre
	case "mi":
		return v * unit.Mile
	case "ft":
		return v * unit.Foot
	}
	return v * unit.Metre
}

// dayOrNone reads a date; an empty field is none.
func (f form) dayOrNone(name, message string) time.Time {
	if f.text(name) == "" {
		return time.Time{}
	}
	day, err := time.Parse(time.DateOnly, f.text(name))
	if err != nil {
		f.faults.Add(name, message)
	}
	return day
}

// moment reads a wall clock on a day in a zone. A clock time that a change to summer
// time skips is a fault: nobody can meet at it.
func (f form) moment(dayField, clockField string, zone *time.Location) time.Time {
	day, err := time.Parse(time.DateOnly, f.text(dayField))
	if err != nil {
		f.faults.Add(dayField, "Give the date, such as 2027-03-14.")
		return time.Time{}
	}
	clock, err := time.Parse("15:04", f.text(clockField))
	if err != nil {
		f.faults.Add(clockField, "Give a time, such as 06:30.")
		return time.Time{}
	}
	t := time.Date(day.Year(), day.Month(), day.Day(), clock.Hour(), clock.Minute(), 0, 0, zone)
	if t.Hour() != clock.Hour() || t.Minute() != clock.Minute() {
		f.faults.Add(clockField, "The clocks change that night and skip this time. Give another.")
	}
	return t
}

// invalid merges the form's own faults with those of the domain's Validate; nil where
// there are none. Any other error is returned as it is.
func (f form) invalid(err error) (hike.Invalid, error) {
	if v, ok := err.(hike.Invalid); ok {
		for field, message := range v {
			f.faults.Add(field, message)
		}
		err = nil
	}
	if err != nil {
		return nil, err
	}
	if len(f.faults) == 0 {
		return nil, nil
	}
	return f.faults, nil
}

// answers gives a page what was typed into its form and what is wrong with it.
func answers(r *http.Request, wrong hike.Invalid) view.Answers {
	return view.Answers{Typed: r.PostForm, Wrong: wrong}
}
