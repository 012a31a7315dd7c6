package kit

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// Question declares one field of a form that fills in a T: how the page asks for it, how the
// answer is read, and how a stored T fills the field in.
type Question[T any] struct {
	ui.Field
	// Set reads the answer into a T. It is nil where another question reads this field too,
	// such as the unit of a figure.
	Set func(f Form, to *T)
	// Get returns what is stored. It is nil where the page never shows what is stored.
	Get func(T) []string
	// Nth numbers several fields of one name from 1. It is 0 for the only field of its name.
	Nth int
	// Cell is how a cell of a table answers the question.
	Cell CellKind
}

// Questions is a form, declared once. The order is that in which the page lists what is wrong.
type Questions[T any] []Question[T]

// Fields returns the fields of the page with what was sent and what is wrong with it.
func (q Questions[T]) Fields(state ui.FormState) ui.Fields {
	fields := make(ui.Fields, len(q))
	for i, x := range q {
		if x.Nth > 0 {
			fields[i] = state.BindNth(x.Field, x.Nth-1)
		} else {
			fields[i] = state.Bind(x.Field)
		}
	}
	return fields
}

// Filled returns the fields of the page. Where this form was not sent they hold what is stored.
func (q Questions[T]) Filled(state ui.FormState, stored T) ui.Fields {
	if !q.sent(state) {
		state.Values = q.Values(stored)
	}
	return q.Fields(state)
}

// sent reports whether the values are those of this form: a page may have several. A browser
// sends every field but boxes without a tick, and no form has boxes alone.
func (q Questions[T]) sent(state ui.FormState) bool {
	return slices.ContainsFunc(q, func(x Question[T]) bool {
		_, sent := state.Values[x.Name]
		return sent
	})
}

// Values returns what is stored, by the names of the fields.
func (q Questions[T]) Values(stored T) map[string][]string {
	values := map[string][]string{}
	for _, x := range q {
		if x.Get != nil {
			values[x.Name] = append(values[x.Name], x.Get(stored)...)
		}
	}
	return values
}

// Read reads every answer into a T, in the order of the questions.
func (q Questions[T]) Read(f Form, to *T) {
	for _, x := range q {
		if x.Set != nil {
			x.Set(f, to)
		}
	}
}

// Named returns the question of that name. It panics where the form has none.
func (q Questions[T]) Named(name string) Question[T] {
	for _, x := range q {
		if x.Name == name {
			return x
		}
	}
	panic(fmt.Sprintf("the form has no question %q", name))
}

// NeverShown returns the questions without what is stored: they are asked, and not filled in.
func (q Questions[T]) NeverShown() Questions[T] {
	hidden := slices.Clone(q)
	for i := range hidden {
		hidden[i].Get = nil
	}
	return hidden
}

// PartOf turns the questions about a part of a T into questions about the T.
func PartOf[T, P any](part func(*T) *P, questions Questions[P]) Questions[T] {
	var of Questions[T]
	for _, x := range questions {
		y := Question[T]{Field: x.Field, Nth: x.Nth, Cell: x.Cell}
		if x.Set != nil {
			y.Set = func(f Form, to *T) { x.Set(f, part(to)) }
		}
		if x.Get != nil {
			y.Get = func(stored T) []string { return x.Get(*part(&stored)) }
		}
		of = append(of, y)
	}
	return of
}

// Line asks for a text of one line.
func Line[T any, S ~string](field ui.Field, at func(*T) *S) Question[T] {
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = S(f.Text(field.Name)) },
		Get:   func(stored T) []string { return []string{string(*at(&stored))} },
	}
}

// Word asks for one of a few words. No word fills in nothing.
func Word[T any, S ~string](field ui.Field, at func(*T) *S) Question[T] {
	return Question[T]{
		Field: field,
		Cell:  CellWord,
		Set:   func(f Form, to *T) { *at(to) = S(f.Text(field.Name)) },
		Get: func(stored T) []string {
			if *at(&stored) == "" {
				return nil
			}
			return []string{string(*at(&stored))}
		},
	}
}

// Paragraph asks for a text of several lines.
func Paragraph[T any](field ui.Field, at func(*T) *string) Question[T] {
	field.Kind = ui.KindArea
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = f.Paragraph(field.Name) },
		Get:   func(stored T) []string { return []string{*at(&stored)} },
	}
}

// Box asks for a tick.
func Box[T any](field ui.Field, at func(*T) *bool) Question[T] {
	field.Kind = ui.KindCheck
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = f.Checked(field.Name) },
		Get: func(stored T) []string {
			if *at(&stored) {
				return []string{"yes"}
			}
			return nil
		},
		Cell: CellBox,
	}
}

// YesNo asks a question that has to be answered.
func YesNo[T any](field ui.Field, at func(*T) *bool) Question[T] {
	field.Options = []ui.Option{{Value: "yes", Label: "Yes"}, {Value: "no", Label: "No"}}
	return Question[T]{
		Field: field,
		Set: func(f Form, to *T) {
			answer := f.Text(field.Name)
			if answer != "yes" && answer != "no" {
				f.Faults.Add(field.Name, "Say yes or no.")
			}
			*at(to) = answer == "yes"
		},
		Cell: CellYes,
	}
}

// Whole asks for a whole number. An empty field is zero, and zero fills in an optional field
// with nothing.
func Whole[T any, N ~int](field ui.Field, at func(*T) *N, message string) Question[T] {
	field.Kind = ui.KindNumber
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = N(f.Whole(field.Name, message)) },
		Get: func(stored T) []string {
			n := int(*at(&stored))
			if n == 0 && field.Optional {
				return []string{""}
			}
			return []string{strconv.Itoa(n)}
		},
	}
}

// Minutes asks for a duration in whole minutes. An empty field is none.
func Minutes[T any](field ui.Field, at func(*T) *time.Duration) Question[T] {
	field.Kind, field.Unit = ui.KindNumber, "minutes"
	return Question[T]{
		Field: field,
		Set: func(f Form, to *T) {
			*at(to) = time.Duration(f.Whole(field.Name, "Give whole minutes.")) * time.Minute
		},
		Get: func(stored T) []string {
			if *at(&stored) == 0 {
				return []string{""}
			}
			return []string{strconv.Itoa(int(at(&stored).Minutes()))}
		},
	}
}

// Number asks for a decimal number.
func Number[T any](field ui.Field, set func(*T, float64), message string) Question[T] {
	field.Kind = ui.KindNumber
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { set(to, f.Number(field.Name, message)) },
	}
}

// Date asks for a day.
func Date[T any](field ui.Field, at func(*T) *unit.Date, message string) Question[T] {
	field.Kind = ui.KindDate
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = f.Date(field.Name, message) },
		Get:   func(stored T) []string { return []string{at(&stored).String()} },
	}
}

// Several asks for any number of a few words.
func Several[T any, S ~string](field ui.Field, at func(*T) *[]S) Question[T] {
	field.Kind = ui.KindChecks
	return Question[T]{
		Field: field,
		Cell:  CellList,
		Set: func(f Form, to *T) {
			for _, word := range f.Values[field.Name] {
				*at(to) = append(*at(to), S(word))
			}
		},
		Get: func(stored T) []string {
			var words []string
			for _, word := range *at(&stored) {
				words = append(words, string(word))
			}
			return words
		},
	}
}

// Length asks for a length in the unit that another field names.
func Length[T any](field ui.Field, unitField string, at func(*T) *unit.Length, message string) Question[T] {
	field.Kind = ui.KindNumber
	return Question[T]{
		Field: field,
		Set:   func(f Form, to *T) { *at(to) = f.Length(field.Name, unitField, message) },
	}
}

// OptionsOf offers words as they are.
func OptionsOf[S ~string](words []S) []ui.Option {
	var options []ui.Option
	for _, w := range words {
		options = append(options, ui.Option{Value: string(w), Label: string(w)})
	}
	return options
}

// ReadElsewhere asks for something that another question reads, such as the unit of a figure.
func ReadElsewhere[T any](field ui.Field) Question[T] { return Question[T]{Field: field} }
