package sheet

import (
	"strings"
	"unicode"
)

// runs reports whether a spreadsheet may run the cell as a formula: after apostrophes,
// space and signs that are not seen there stands = + - @, one of them in full width, or the
// cell holds a tab or a line end before anything else. (OWASP, CSV Injection: = + - @ tab,
// carriage return, line feed, and the full-width forms.)
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

// unseen is space, and marks without width that programs strip.
func unseen(r rune) bool {
	return unicode.IsSpace(r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r)
}

// Guard puts an apostrophe before a cell that a spreadsheet may run.
func Guard(cell string) string {
	if runs(cell) {
		return "'" + cell
	}
	return cell
}

// Unguard takes the apostrophe off that Guard put there: Unguard(Guard(x)) is x for every
// x, those that begin with apostrophes too. Guard looks through apostrophes, so a cell is
// guarded exactly if what follows its first apostrophe would be.
func Unguard(cell string) string {
	if rest, found := strings.CutPrefix(cell, "'"); found && runs(rest) {
		return rest
	}
	return cell
}
