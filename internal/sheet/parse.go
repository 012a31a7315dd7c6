package sheet

import (
	"errors"
	"fmt"
	"strings"
)

// Separator stands between two cells.
type Separator byte

// The separators that are read. Commas are written.
const (
	Comma     Separator = ','
	Semicolon Separator = ';'
	Tab       Separator = '\t'
)

// Words names the separator for people.
func (s Separator) Words() string {
	switch s {
	case Semicolon:
		return "semicolons"
	case Tab:
		return "tabs"
	}
	return "commas"
}

// House judgement: twenty records tell which separator divides a file.
const sniffed = 20

// separatorOf finds out what divides the cells: the separator that divides the head, and
// most of the records after it into as many cells as the head. What stands within quotes
// counts for nothing. A file of one column has commas.
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

// countSeparators counts, record by record, what may divide the cells.
func countSeparators(text string) []map[Separator]int {
	var list []map[Separator]int
	now, quoted := map[Separator]int{}, false
	seen := false // the record has anything at all
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

// parser walks a text record by record (RFC 4180, 2005, section 2, and what spreadsheets
// write besides: other separators, other ends of lines, quotes within unquoted cells).
type parser struct {
	text   string
	at     int
	line   int
	number int
	sep    Separator
	lim    Limits
}

// hint reads a first line such as "sep=;", by which spreadsheets tell one another. It
// returns 0 where there is none.
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

// row reads the next record. Blank is a line without any cell.
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

// plain reads a cell without quotes around it.
func (p *parser) plain() string {
	rest := p.text[p.at:]
	if end := strings.IndexAny(rest, string(rune(p.sep))+"\r\n"); end >= 0 {
		rest = rest[:end]
	}
	p.at += len(rest)
	return rest
}

// quoted reads a cell with quotes around it; a quote within it is written twice.
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

// pass goes on by n bytes and counts the lines.
func (p *parser) pass(n int) {
	for end := p.at + n; p.at < end; p.at++ {
		c := p.text[p.at]
		if c == '\n' || c == '\r' && !(p.at+1 < len(p.text) && p.text[p.at+1] == '\n') {
			p.line++
		}
	}
}

// endLine passes one end of a line: LF, CR LF or CR.
func (p *parser) endLine() {
	switch rest := p.text[p.at:]; {
	case strings.HasPrefix(rest, "\r\n"):
		p.pass(2)
	case rest != "":
		p.pass(1)
	}
}
