package sheet

import (
	"errors"
	"fmt"
	"strings"
)

// Separator is the character between two cells.
type Separator byte

// The supported separators. Write uses commas.
const (
	Comma     Separator = ','
	Semicolon Separator = ';'
	Tab       Separator = '\t'
)

// Words returns the name of the separator.
func (s Separator) Words() string {
	switch s {
	case Semicolon:
		return "semicolons"
	case Tab:
		return "tabs"
	}
	return "commas"
}

// sniffed is how many records decide the separator. Our judgment: twenty are enough.
const sniffed = 20

// separatorOf guesses the separator of a file: it occurs in the header, and most records after
// it have as many as the header. Quoted text does not count. A file of one column gets commas.
func separatorOf(text string) Separator {
	counts := countSeparators(text)
	best, score := Comma, 0
	for _, sep := range []Separator{Comma, Semicolon, Tab} {
		first, like := 0, 0
		for i, c := range counts {
			if i == 0 {
				first = c[sep]
			}
			if c[sep] == first {
				like++
			}
		}
		if s := like<<16 + first; first > 0 && s > score {
			best, score = sep, s
		}
	}
	return best
}

// countSeparators counts the possible separators of each record.
func countSeparators(text string) []map[Separator]int {
	var list []map[Separator]int
	now, quoted := map[Separator]int{}, false
	seen := false // the record is not empty
	for i := 0; i < len(text) && len(list) < sniffed; i++ {
		switch c := text[i]; {
		case c == '"':
			quoted, seen = !quoted, true
		case quoted:
		case c == '\r' || c == '\n':
			if seen {
				list, now, seen = append(list, now), map[Separator]int{}, false
			}
		case c == ',' || c == ';' || c == '\t':
			seen = true
			now[Separator(c)]++
		default:
			seen = true
		}
	}
	if seen {
		list = append(list, now)
	}
	return list
}

var errEnd = errors.New("end of the file")

// parser reads a text record by record: RFC 4180 (2005), section 2, and what spreadsheets
// also write: other separators, other line ends, quotes inside unquoted cells.
type parser struct {
	text   string
	at     int
	line   int
	number int
	sep    Separator
	lim    Limits
}

// hint reads a first line such as "sep=;", which some spreadsheets write. It returns 0 if
// there is none.
func (p *parser) hint() Separator {
	const word = "sep="
	if len(p.text) < len(word)+1 || !strings.EqualFold(p.text[:len(word)], word) {
		return 0
	}
	sep, rest := Separator(p.text[len(word)]), p.text[len(word)+1:]
	if sep != Comma && sep != Semicolon && sep != Tab || rest != "" && rest[0] != '\r' && rest[0] != '\n' {
		return 0
	}
	p.pass(len(word) + 1)
	p.endLine()
	p.number++
	return sep
}

// row reads the next record. It is blank if the line is empty.
func (p *parser) row() (r Row, blank bool, err error) {
	if p.at == len(p.text) {
		return r, false, errEnd
	}
	p.number++
	r = Row{Line: p.line, Number: p.number}
	start := p.at
	for {
		cell, err := p.cell(len(r.Cells) + 1)
		if err != nil {
			return r, false, err
		}
		r.Cells = append(r.Cells, Unguard(cell))
		if len(r.Cells) > p.lim.Columns {
			return r, false, Fault{Line: r.Line, Reason: fmt.Sprintf("more than %d columns", p.lim.Columns)}
		}
		if p.at < len(p.text) && Separator(p.text[p.at]) == p.sep {
			p.at++
			continue
		}
		blank = p.at == start
		p.endLine()
		return r, blank, nil
	}
}

func (p *parser) cell(column int) (string, error) {
	line, start := p.line, p.at
	cell, err := p.plain(), error(nil)
	if strings.HasPrefix(p.text[start:], `"`) {
		p.at = start
		cell, err = p.quoted(column)
	}
	if err == nil && len(cell) > p.lim.Cell {
		err = Fault{Line: line, Column: column, Reason: fmt.Sprintf("the cell is longer than %d bytes", p.lim.Cell)}
	}
	return cell, err
}

// plain reads an unquoted cell.
func (p *parser) plain() string {
	rest := p.text[p.at:]
	if end := strings.IndexAny(rest, string(rune(p.sep))+"\r\n"); end >= 0 {
		rest = rest[:end]
	}
	p.at += len(rest)
	return rest
}

// quoted reads a quoted cell. A quote inside is doubled.
func (p *parser) quoted(column int) (string, error) {
	line := p.line
	var b strings.Builder
	for p.at++; ; {
		n := strings.IndexByte(p.text[p.at:], '"')
		if n < 0 {
			return "", Fault{Line: line, Column: column, Reason: "the quote that opens this cell is never closed"}
		}
		b.WriteString(p.text[p.at : p.at+n])
		p.pass(n)
		p.at++
		if !strings.HasPrefix(p.text[p.at:], `"`) {
			break
		}
		b.WriteByte('"')
		p.at++
	}
	if p.at < len(p.text) && Separator(p.text[p.at]) != p.sep && p.text[p.at] != '\r' && p.text[p.at] != '\n' {
		return "", Fault{Line: p.line, Column: column,
			Reason: "something stands after the closing quote; a quote within a cell is written twice"}
	}
	return b.String(), nil
}

// pass advances by n bytes and counts lines.
func (p *parser) pass(n int) {
	for end := p.at + n; p.at < end; p.at++ {
		c := p.text[p.at]
		if c == '\n' || c == '\r' && !(p.at+1 < len(p.text) && p.text[p.at+1] == '\n') {
			p.line++
		}
	}
}

// endLine passes one line end: LF, CR LF or CR.
func (p *parser) endLine() {
	switch rest := p.text[p.at:]; {
	case strings.HasPrefix(rest, "\r\n"):
		p.pass(2)
	case rest != "":
		p.pass(1)
	}
}
