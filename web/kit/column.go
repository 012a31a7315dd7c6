package kit

import (
	"errors"
	"maps"
	"net/url"
	"strings"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/sheet"
	"saltbush/internal/text"
)

// CellKind says how a cell of a table answers a question of a form.
type CellKind int

// The kinds of cells.
const (
	CellText CellKind = iota
	CellWord          // one of a few words, in any case
	CellYes           // a question that has to be answered yes or no
	CellBox           // a box to tick: yes, or nothing
	CellList          // several words
)

// Column is a column of a table of T.
type Column[T any] struct {
	sheet.Column
	// Field is the field of the form that the cells fill in, "" for what is written and not read.
	Field string
	Cell  CellKind
	// Says tells people what a cell holds.
	Says string
	// Write returns the cell of a stored T. It is nil for what is read and never written.
	Write func(T) string
}

// Columns is a table whose lines are read as a form is read.
type Columns[T any] []Column[T]

// Column returns the column whose cells answer the question.
func (q Question[T]) Column(name, says string, also ...string) Column[T] {
	c := Column[T]{Column: sheet.Column{Name: name, Also: also}, Field: q.Name, Cell: q.Cell, Says: says}
	if q.Get != nil {
		c.Write = func(stored T) string { return strings.Join(q.Get(stored), ", ") }
	}
	return c
}

// AsNeeded returns the column marked as needed: a table without it is refused.
func (c Column[T]) AsNeeded() Column[T] {
	c.Needed = true
	return c
}

// Heads returns the columns in the form that a table is matched with.
func (list Columns[T]) Heads() []sheet.Column {
	heads := make([]sheet.Column, len(list))
	for i, c := range list {
		heads[i] = c.Column
	}
	return heads
}

// Read returns the names of the columns that are read.
func (list Columns[T]) Read() []string {
	var names []string
	for _, c := range list {
		if c.Field != "" {
			names = append(names, c.Name)
		}
	}
	return names
}

// Lines describes the columns that are read.
func (list Columns[T]) Lines() []format.Line {
	var lines []format.Line
	for _, c := range list {
		if c.Field == "" {
			continue
		}
		l := format.Line{Label: c.Name, Value: c.Says}
		if c.Needed {
			l.Note = "needed"
		}
		lines = append(lines, l)
	}
	return lines
}

// Values turns a line into what the form would have sent. It leaves what it cannot turn as it
// is: the form says what is wrong with it.
func (list Columns[T]) Values(h sheet.Heads, row sheet.Row) url.Values {
	v := url.Values{}
	for _, c := range list {
		if c.Field != "" {
			v[c.Field] = c.Cell.answers(h.Cell(row, c.Name))
		}
	}
	return v
}

// Faults puts what the form finds wrong beside the cells that it read.
func (list Columns[T]) Faults(h sheet.Heads, row sheet.Row, err error) []sheet.Fault {
	var invalid fault.Invalid
	if !errors.As(err, &invalid) {
		if err == nil {
			return nil
		}
		return []sheet.Fault{h.Fault(row, "", err.Error())}
	}
	var faults []sheet.Fault
	rest := maps.Clone(invalid)
	for _, c := range list {
		if message, is := rest[c.Field]; is && c.Field != "" {
			faults = append(faults, h.Fault(row, c.Name, message))
			delete(rest, c.Field)
		}
	}
	if len(rest) > 0 {
		faults = append(faults, h.Fault(row, "", rest.Error()))
	}
	return faults
}

// CheckBoxes adds a fault for each box that says neither yes nor no, because the form takes any
// text for a tick.
func (list Columns[T]) CheckBoxes(f Form) {
	for _, c := range list {
		if answer := f.Text(c.Field); c.Cell == CellBox && answer != "" && answer != "yes" {
			f.Faults.Add(c.Field, "Write yes, no or nothing.")
		}
	}
}

// Answer returns what a cell says in one line, so that two cells can be compared.
func (c Column[T]) Answer(cell string) string {
	return text.Line(strings.Join(c.Cell.answers(cell), "\n"))
}

// answers returns what the field of a form would have sent for a cell.
func (k CellKind) answers(cell string) []string {
	cell = text.Paragraph(cell)
	low := strings.ToLower(cell)
	switch k {
	case CellWord:
		return []string{low}
	case CellYes, CellBox:
		return []string{yesOrNo(low, k)}
	case CellList:
		var words []string
		for _, w := range strings.FieldsFunc(low, func(r rune) bool { return strings.ContainsRune(",;/|\n", r) }) {
			if w = strings.TrimSpace(w); w != "" {
				words = append(words, w)
			}
		}
		return words
	}
	return []string{cell}
}

// yesOrNo reads a yes and a no as people write them. A box that is not ticked is empty.
func yesOrNo(low string, k CellKind) string {
	switch low {
	case "yes", "y", "x", "true", "1":
		return "yes"
	case "no", "n", "false", "0", "-":
		if k == CellBox {
			return ""
		}
		return "no"
	}
	return low
}
