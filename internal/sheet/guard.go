package sheet

import (
	"strings"
	"unicode"
)

// runs reports whether a spreadsheet may run the cell as a formula: its first character after
// apostrophes, spaces and invisible characters is = + - @, a full-width form of these, a tab
// or a line end. (OWASP, CSV Injection: = + - @ tab, carriage return, line feed, and the
// full-width forms.)
func runs(cell string) bool {
	for _, r := range cell {
		switch {
		case strings.ContainsRune("=+-@\t\r\n＝＋－＠", r):
			return true
		case r != '\'' && !unseen(r):
			return false
		}
	}
	return false
}

// unseen reports whether the rune is a space or has no width, so that programs may strip it.
func unseen(r rune) bool {
	return unicode.IsSpace(r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r)
}

// Guard puts an apostrophe before a cell that a spreadsheet may run as a formula.
func Guard(cell string) string {
	if runs(cell) {
		return "'" + cell
	}
	return cell
}

// Unguard removes the apostrophe of Guard: Unguard(Guard(x)) is x for every x, even one that
// starts with an apostrophe. This works because Guard ignores apostrophes: a cell has been
// guarded if and only if the text after its first apostrophe would be.
func Unguard(cell string) string {
	if rest, found := strings.CutPrefix(cell, "'"); found && runs(rest) {
		return rest
	}
	return cell
}
