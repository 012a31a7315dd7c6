package sheet

import (
	"io"
	"strings"
)

// Write writes a table that spreadsheets open without questions: UTF-8 with a byte order
// mark, commas and CR LF (RFC 4180, 2005). It guards every cell. Cells must be valid UTF-8
// without zero bytes, as all text of this program is.
func Write(w io.Writer, head []string, rows [][]string) error {
	var b strings.Builder
	b.WriteString(markUTF8)
	writeRow(&b, head)
	for _, row := range rows {
		writeRow(&b, row)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeRow(b *strings.Builder, cells []string) {
	for i, cell := range cells {
		if i > 0 {
			b.WriteByte(byte(Comma))
		}
		cell = Guard(cell)
		if !quotes(cell, len(cells)) {
			b.WriteString(cell)
			continue
		}
		b.WriteByte('"')
		b.WriteString(strings.ReplaceAll(cell, `"`, `""`))
		b.WriteByte('"')
	}
	b.WriteString("\r\n")
}

// quotes reports whether a cell needs quotes: it contains a possible separator, it has spaces
// around it that a program may strip, it looks like a hint, or it is the only cell of its row
// and empty, which would make an empty line.
func quotes(cell string, cells int) bool {
	return strings.ContainsAny(cell, ",;\t\"\r\n") || strings.TrimSpace(cell) != cell ||
		len(cell) >= 4 && strings.EqualFold(cell[:4], "sep=") || cell == "" && cells == 1
}
