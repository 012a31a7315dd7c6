package ui

// FormState is what was typed into a form and what is wrong with it, both by the name of
// the field. A form that is shown for the first time has neither, or has as typed what is
// stored.
type FormState struct {
	Values map[string][]string
	Errors map[string]string
}

// Bind returns the question with what was typed and what is wrong.
func (a FormState) Bind(f Field) Field {
	f.Error = a.Errors[f.Name]
	if typed, sent := a.Values[f.Name]; sent {
		f.Value = First(typed)
		f.Options = Chosen(f.Options, typed)
	}
	return f
}

// AskedNth is Asked for one of several fields of the same name.
func (a FormState) AskedNth(f Field, n int) Field {
	var typed []string
	if all := a.Values[f.Name]; n < len(all) {
		typed = all[n : n+1]
	}
	return FormState{Values: map[string][]string{f.Name: typed}, Errors: a.Errors}.Bind(f)
}

// Chosen marks the options that were typed and no others. The list it is given stays as
// it is: several questions may share it.
func Chosen(options []Option, typed []string) []Option {
	out := make([]Option, len(options))
	for i, o := range options {
		o.Selected = false
		for _, t := range typed {
			o.Selected = o.Selected || t == o.Value
		}
		out[i] = o
	}
	return out
}

func First(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[0]
}
