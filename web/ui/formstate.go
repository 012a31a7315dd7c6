package ui

import "slices"

// FormState holds what was sent with a form and what is wrong with it, by the names of the fields.
// A form that is shown for the first time has neither, or holds what is stored.
type FormState struct {
	Values map[string][]string
	Errors map[string]string
}

// Bind returns the field with what was sent and what is wrong.
func (s FormState) Bind(f Field) Field {
	f.Error = s.Errors[f.Name]
	values, sent := s.Values[f.Name]
	if sent {
		f.Value = First(values)
		f.Options = Chosen(f.Options, values)
	}
	if f.Kind == KindCheck {
		f.Checked = len(values) > 0
	}
	return f
}

// BindNth is Bind for one of several fields of the same name, counted from 0.
func (s FormState) BindNth(f Field, n int) Field {
	var values []string
	if all := s.Values[f.Name]; n < len(all) {
		values = all[n : n+1]
	}
	return FormState{Values: map[string][]string{f.Name: values}, Errors: s.Errors}.Bind(f)
}

// Chosen returns the options with those selected that are among the values, and no others. It
// copies the list, which several fields may share.
func Chosen(options []Option, values []string) []Option {
	out := make([]Option, len(options))
	for i, o := range options {
		o.Selected = slices.Contains(values, o.Value)
		out[i] = o
	}
	return out
}

// First returns the first of a field's values, "" where it has none.
func First(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[0]
}
