package sheet

import (
	"fmt"
	"strings"

	"saltbush/internal/text"
)

// Table is the content of a file.
type Table struct {
	Head []string
	Rows []Row
	// Faults are about lines with too many cells, which are not in Rows.
	Faults    []Fault
	Encoding  Encoding
	Separator Separator
}

// Row is one record below the header, with as many cells as the header.
type Row struct {
	// Line is the first line of the row in the text. Number is the row number that a
	// spreadsheet shows. They differ after a cell of several lines.
	Line, Number int
	Cells        []string
}

// Blank reports whether all cells are empty or spaces.
func (r Row) Blank() bool { return text.Empty(strings.Join(r.Cells, "")) }

// Fault is what is wrong with a file, and where.
type Fault struct {
	Line   int    // of the text; 0 for the whole file
	Column int    // from 1; 0 for the whole line
	Name   string // of the column; may be empty
	Reason string
}

func (f Fault) Error() string {
	if at := f.Where(); at != "" {
		return at + ": " + f.Reason
	}
	return f.Reason
}

// Where returns the place in words, or "" for the whole file.
func (f Fault) Where() string {
	switch {
	case f.Line == 0 && f.Column == 0:
		return ""
	case f.Line == 0:
		return f.column()
	case f.Column == 0:
		return fmt.Sprintf("line %d", f.Line)
	}
	return fmt.Sprintf("line %d, %s", f.Line, f.column())
}

func (f Fault) column() string {
	if f.Name == "" {
		return fmt.Sprintf("column %d", f.Column)
	}
	return fmt.Sprintf("column %d (%s)", f.Column, f.Name)
}

// Limits are the largest file and its parts that Read accepts.
type Limits struct {
	Bytes   int
	Rows    int
	Columns int
	Cell    int // bytes of one cell, as UTF-8
}

// DefaultLimits returns the limits of uploads.
// Our judgment: enough for some thousand people with all their data.
func DefaultLimits() Limits { return Limits{Bytes: 1 << 20, Rows: 2000, Columns: 100, Cell: 8 << 10} }

// Read reads a file. Its error is a Fault. It skips empty lines.
func Read(data []byte, lim Limits) (Table, error) {
	if len(data) > lim.Bytes {
		return Table{}, Fault{Reason: fmt.Sprintf("the file has %d bytes; %d are taken at most", len(data), lim.Bytes)}
	}
	content, enc, err := decode(data)
	if err != nil {
		return Table{}, err
	}
	p := parser{text: content, line: 1, lim: lim}
	p.sep = p.hint()
	if p.sep == 0 {
		p.sep = separatorOf(content)
	}
	t := Table{Encoding: enc, Separator: p.sep}
	if err := t.fill(&p); err != nil {
		return Table{}, err
	}
	if t.Head == nil {
		return Table{}, Fault{Reason: "the file is empty"}
	}
	return t, nil
}

func (t *Table) fill(p *parser) error {
	for {
		row, blank, err := p.row()
		switch {
		case err == errEnd:
			return nil
		case err != nil:
			return err
		case blank:
		case t.Head == nil:
			t.Head = row.Cells
		case len(t.Rows) == p.lim.Rows:
			return Fault{Line: row.Line, Reason: fmt.Sprintf("more than %d rows: divide the file", p.lim.Rows)}
		default:
			t.add(row)
		}
	}
}

// add adds a row. Spreadsheets leave out empty cells at the end, or add some.
func (t *Table) add(r Row) {
	want := len(t.Head)
	for len(r.Cells) < want {
		r.Cells = append(r.Cells, "")
	}
	for i, cell := range r.Cells[want:] {
		if !text.Empty(cell) {
			t.Faults = append(t.Faults, Fault{Line: r.Line, Column: want + i + 1,
				Reason: fmt.Sprintf("the line has %d cells and the head has %d: is a separator inside a cell without "+
					"quotes around it?", len(r.Cells), want)})
			return
		}
	}
	r.Cells = r.Cells[:want:want]
	t.Rows = append(t.Rows, r)
}
