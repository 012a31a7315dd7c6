package sheet

import (
	"fmt"
	"strings"
	"unicode"

	"saltbush/internal/text"
)

// Column is one that a reader of tables knows.
type Column struct {
	Name   string   // as it is written
	Also   []string // other heads that mean it
	Needed bool     // a table without it is refused
}

// Names lists what the columns are called.
func Names(columns []Column) []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	return names
}

// Heads says where in a table the known columns stand.
type Heads struct {
	at map[string]int
	// Unknown names the columns that nobody asks for, with their place.
	Unknown []string
}

// Match finds the known columns in the head, however they are written: capitals, spaces and
// punctuation count for nothing. Columns that stand there twice and needed ones that are
// missing are faults; unknown ones are named.
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

// Cell returns what the row has in the column, "" where the table has no such column.
func (h Heads) Cell(r Row, name string) string {
	i, has := h.at[name]
	if !has {
		return ""
	}
	return r.Cells[i]
}

// Fault is what is wrong with the row's cell in the column; without such a column it is
// about the whole line.
func (h Heads) Fault(r Row, name, reason string) Fault {
	f := Fault{Line: r.Line, Name: name, Reason: reason}
	if i, has := h.at[name]; has {
		f.Column = i + 1
	} else if name != "" {
		f.Reason = fmt.Sprintf("no column %q: %s", name, reason)
	}
	return f
}

// fold is a head as heads are compared.
func fold(head string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, head)
}
