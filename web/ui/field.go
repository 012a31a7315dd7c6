package ui

import (
	"fmt"

	"github.com/a-h/templ"
)

// Kinds of fields that are not one line of text. A field with options and none of these kinds shows
// all its options.
const (
	KindArea   = "area"   // several lines
	KindCheck  = "check"  // one box to tick
	KindChecks = "checks" // any number of options, all shown
	KindDate   = "date"   // a day
	KindFile   = "file"   // a file to upload
	KindNumber = "number" // a figure, typed as text
	KindSelect = "select" // one of many
	KindTime   = "time"   // a wall clock time
)

// Field is one question of a form with what was typed and what is wrong with it.
type Field struct {
	Name         string
	ID           string // the name where empty; set it where a page asks the same twice
	Label        string
	Hint         string
	Value        string // kept as typed
	Error        string // "" when nothing is wrong
	Optional     bool   // shown beside the label; all other fields are required
	Kind         string // one of the kinds above, or email, tel or password; "" for text
	Autocomplete string
	Unit         string // words after the box, such as "litres"
	Short        bool   // a narrow box
	Min, Max     string
	Options      []Option
	Checked      bool // of a single box
}

// Option is one answer of a choice.
type Option struct {
	Value, Label, Note string
	Selected           bool
}

func (f Field) id() string {
	if f.ID != "" {
		return f.ID
	}
	return f.Name
}

func (f Field) class() string {
	c := "Field"
	if f.Short {
		c += " Field--short"
	}
	if f.Error != "" {
		c += " Field--wrong"
	}
	return c
}

// Attrs returns the attributes that every control shares. No control is marked required for the
// browser: its messages do not stand beside the field, and it would not send what was typed.
func (f Field) Attrs() templ.Attributes {
	a := templ.Attributes{"id": f.id(), "name": f.Name}
	if !f.Optional {
		a["aria-required"] = "true"
	}
	if by := f.describedBy(); by != "" {
		a["aria-describedby"] = by
	}
	if f.Error != "" {
		a["aria-invalid"] = "true"
	}
	if f.Autocomplete != "" {
		a["autocomplete"] = f.Autocomplete
	}
	return a
}

func (f Field) describedBy() string {
	by := ""
	if f.Hint != "" {
		by = f.id() + "-hint"
	}
	if f.Error != "" {
		if by != "" {
			by += " "
		}
		by += f.id() + "-error"
	}
	return by
}

func (f Field) kind() string {
	if f.Kind == "" {
		return "text"
	}
	return f.Kind
}

// optionID returns the ID of an option. The first one has the field's own ID, so that a link to the
// field leads to it.
func (f Field) optionID(i int) string {
	if i == 0 {
		return f.id()
	}
	return f.id() + "-" + f.Options[i].Value
}

// Fields are the fields of a form, in the order in which FormErrors lists them.
type Fields []Field

// Named returns the field of that name or ID. It panics where there is none.
func (f Fields) Named(name string) Field {
	for _, x := range f {
		if x.id() == name || x.Name == name {
			return x
		}
	}
	panic(fmt.Sprintf("no field named %q", name))
}

// HasErrors reports whether something is wrong with any of the fields.
func HasErrors(fields []Field) bool {
	for _, f := range fields {
		if f.Error != "" {
			return true
		}
	}
	return false
}
