package sheet

import (
	"fmt"
	"strings"

	"saltbush/internal/text"
)

// Table is a file as it was read.
type Table struct {
	Head []string
	Rows []Row
	// Faults are lines that do not fit the head; they are not among the rows.
	Faults    []Fault
	Encoding  Encoding
	Separator Separator
}

// Row is one line under the head, with as many cells as the head.
type Row struct {
	// Line is the line of the text at which the row begins; Number is what a spreadsheet
	// shows at its edge. They differ where a cell holds several lines.
	Line, Number int
	Cells        []string
}

// Blank reports whether no cell holds anything but space.
func (r Row) Blank() bool { return text.Empty(strings.Join(r.Cells, "")) }

// Fault says what is wrong with a file, and where.
type Fault struct {
	Line   int    // of the text; 0 where it is about the whole file
	Column int    // from 1; 0 where it is about the whole line
	Name   string // of the column, where it has one
	Reason string
}

func (f Fault) Error() string {
	if at := f.Where(); at != "" {
		return at + ": " + f.Reason
	}
	return f.Reason
}

// Where says the place in words, "" for the whole file.
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

// Limits bound what is read, so that a huge file costs nothing.
type Limits struct {
	Bytes   int
	Rows    int
	Columns int
	Cell    int // bytes of one cell, as UTF-8
}

// DefaultLimits holds some thousand people with all that is asked of them. House judgement.
func DefaultLimits() Limits { return Limits{Bytes: 1 << 20, Rows: 2000, Columns: 100, Cell: 8 << 10} }

// Read reads a file whole. An error is a Fault: then nothing of the file can be trusted.
// Lines without any cell are skipped.
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

// add keeps a row that fits the head. Spreadsheets leave empty cells at the end away, or
// write some too many.
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
