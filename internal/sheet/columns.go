package sheet

import (
	"fmt"
	"strings"
	"unicode"

	"saltbush/internal/text"
)

// Column is a column that a reader knows.
type Column struct {
	Name   string   // as we write it
	Also   []string // other headings of the same column
	Needed bool     // a table without it is refused
}

// Names returns the names of the columns.
func Names(columns []Column) []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	return names
}

// Heads holds the positions of the known columns in a table.
type Heads struct {
	at map[string]int
	// Unknown lists the headings of other columns.
	Unknown []string
}

// Match finds the known columns by their headings. It ignores case, spaces and punctuation. A
// column that occurs twice is a fault, and so is a missing one that is needed.
func (t Table) Match(columns []Column) (Heads, []Fault) {
	means := map[string]string{}
	for _, c := range columns {
		for _, name := range append([]string{c.Name}, c.Also...) {
			means[fold(name)] = c.Name
		}
	}
	h := Heads{at: map[string]int{}}
	faults := h.place(t, means)
	for _, c := range columns {
		if _, has := h.at[c.Name]; c.Needed && !has {
			faults = append(faults, Fault{Reason: fmt.Sprintf("there is no column %q", c.Name)})
		}
	}
	return h, faults
}

func (h *Heads) place(t Table, means map[string]string) (faults []Fault) {
	seen := map[string]int{}
	for i, head := range t.Head {
		key := fold(head)
		name, known := means[key]
		if known {
			key = fold(name)
		}
		first, twice := seen[key]
		switch {
		case key == "" && text.Empty(head):
			if t.filled(i) {
				h.Unknown = append(h.Unknown, fmt.Sprintf("column %d, which has no name", i+1))
			}
		case twice:
			reason := fmt.Sprintf("this column stands twice: column %d is the same", first+1)
			faults = append(faults, Fault{Column: i + 1, Name: text.Line(head), Reason: reason})
		case known:
			h.at[name], seen[key] = i, i
		default:
			h.Unknown, seen[key] = append(h.Unknown, text.Line(head)), i
		}
	}
	return faults
}

// filled reports whether any row has something in the column.
func (t Table) filled(column int) bool {
	for _, r := range t.Rows {
		if !text.Empty(r.Cells[column]) {
			return true
		}
	}
	return false
}

// Cell returns the cell of the row in the column, or "" if the table has no such column.
func (h Heads) Cell(r Row, name string) string {
	i, has := h.at[name]
	if !has {
		return ""
	}
	return r.Cells[i]
}

// Fault returns a fault of the row's cell in the column. If the table has no such column, the
// fault is about the whole line.
func (h Heads) Fault(r Row, name, reason string) Fault {
	f := Fault{Line: r.Line, Name: name, Reason: reason}
	if i, has := h.at[name]; has {
		f.Column = i + 1
	} else if name != "" {
		f.Reason = fmt.Sprintf("no column %q: %s", name, reason)
	}
	return f
}

// fold returns a heading in the form for comparing: letters and digits in lower case.
func fold(head string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, head)
}
