package text

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"
)

// Line cleans a text of one line. The result is valid UTF-8 in normal form C (UAX #15),
// without control or format characters, with single spaces and none around it. Line breaks
// and tabs become spaces. Cleaning a clean text changes nothing.
func Line(s string) string {
	return orNothing(strings.Join(strings.Fields(clean(s)), " "))
}

// Name cleans the name of a person or a place. It is Line, and maps full-width and half-width
// characters (UAX #11) to their usual width, which depends on the keyboard.
func Name(s string) string {
	return Line(width.Fold.String(clean(s)))
}

// Paragraph cleans a text of several lines. All lines end with \n. It keeps tabs and runs of
// spaces, and removes spaces and empty lines around the text.
func Paragraph(s string) string {
	return orNothing(strings.TrimSpace(clean(s)))
}

// orNothing returns "" for a text without visible characters.
func orNothing(s string) string {
	if Empty(s) {
		return ""
	}
	return s
}

// Empty reports whether the text has no visible characters.
func Empty(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return !invisible(r) })
}

// Longer reports whether a text has more code points than most.
func Longer(s string, most int) bool {
	return len(s) > most && utf8.RuneCountInString(s) > most
}

// maxMarks is how many combining marks in a row are kept; the rest are dropped. UTS #39,
// section 5.4, calls more than four nonspacing marks in a row suspicious. Our judgment: we
// also count spacing marks, and Burmese and Tibetan stack up to seven.
const maxMarks = 8

// clean removes what no text may contain and normalizes the rest. Line breaks become \n,
// spaces except tabs U+0020, and bytes that are not UTF-8 and noncharacters U+FFFD, which
// shows that something was lost (UTR #36, sections 3.5 and 3.6).
func clean(s string) string {
	s = norm.NFC.String(strings.ToValidUTF8(s, string(utf8.RuneError)))
	s = strings.ReplaceAll(s, "\r\n", "\n")
	var b strings.Builder
	var c cleaner
	for i, r := range s {
		if r, keep := c.take(r, first(s[i+utf8.RuneLen(r):])); keep {
			b.WriteRune(r)
		}
	}
	return norm.NFC.String(b.String())
}

// first returns the first code point of a text, or 0.
func first(s string) rune {
	for _, r := range s {
		return r
	}
	return 0
}

// cleaner is the state of a pass through a text from left to right.
type cleaner struct {
	base   rune // the last rune kept that is not a mark or a joiner
	marks  int  // marks kept since then
	joined bool // the last rune kept is a joiner
}

// take returns the replacement of a rune, and whether it is kept.
func (c *cleaner) take(r, next rune) (rune, bool) {
	r = plain(r)
	switch {
	case isJoiner(r):
		if c.joined || !joins(c.base, r, next) {
			return 0, false
		}
		c.joined = true
		return r, true
	case unicode.Is(unicode.M, r):
		if c.marks == maxMarks {
			return 0, false
		}
		c.marks++
		c.joined = false
		return r, true
	case removed(r):
		return 0, false
	case unicode.Is(unicode.Sk, r) && unicode.Is(unicode.So, c.base):
		// A skin tone belongs to the emoji before it.
	default:
		c.base = r
	}
	c.marks, c.joined = 0, false
	return r, true
}

// plain maps white space (UAX #44, White_Space) to a line feed, a tab or a space, and
// noncharacters to U+FFFD.
func plain(r rune) rune {
	switch {
	case r == '\t' || r == ' ' || r == '\n':
		return r
	case r == '\r' || r == '\v' || r == '\f' || r == '\u0085' || r == '\u2028' || r == '\u2029':
		return '\n' // Unicode 15.0, section 5.8, table 5-1
	case unicode.IsSpace(r):
		return ' '
	case unicode.Is(unicode.Noncharacter_Code_Point, r):
		return utf8.RuneError
	}
	return r
}

// removed reports whether no text may contain the rune: control characters (general category
// Cc) and format characters (Cf), such as the overrides and isolates of UAX #9, section 2,
// zero-width spaces, soft hyphens and tags. The signs before Arabic numbers are in Cf too,
// but visible; they stay.
func removed(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case unicode.Is(unicode.Prepended_Concatenation_Mark, r):
		return false
	}
	return unicode.In(r, unicode.Cc, unicode.Cf)
}

const (
	zeroWidthNonJoiner = '\u200c'
	zeroWidthJoiner    = '\u200d'
)

func isJoiner(r rune) bool { return r == zeroWidthNonJoiner || r == zeroWidthJoiner }

// joins reports whether a joiner changes how a text looks: after a letter of a script that
// needs joiners (UAX #31, section 2.3.1), or between two emoji (UTS #51, section 2.3.2).
// Anywhere else it is invisible and makes equal texts differ.
func joins(before, joiner, after rune) bool {
	if joiner == zeroWidthJoiner && unicode.Is(unicode.So, before) && unicode.Is(unicode.So, after) {
		return true
	}
	return unicode.IsLetter(before) && unicode.In(before,
		unicode.Arabic, unicode.Syriac, unicode.Mongolian, unicode.Nko,
		unicode.Devanagari, unicode.Bengali, unicode.Gurmukhi, unicode.Gujarati, unicode.Oriya,
		unicode.Tamil, unicode.Telugu, unicode.Kannada, unicode.Malayalam, unicode.Sinhala,
		unicode.Khmer, unicode.Myanmar, unicode.Tibetan, unicode.Balinese, unicode.Javanese)
}

// invisible reports whether a rune draws nothing: spaces, removed characters, the fillers and
// selectors of Default_Ignorable_Code_Point (UAX #44, table 9) and the blank Braille pattern.
func invisible(r rune) bool {
	const blankBraille = '\u2800'
	return r == blankBraille || unicode.IsSpace(r) || isJoiner(r) || removed(r) ||
		unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}
