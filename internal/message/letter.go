package message

import (
	"strings"
	"unicode/utf8"
)

// Width of a line of text.
// RFC 5322 (2008), section 2.1.1: lines should be no more than 78 characters; a little
// less leaves room for the marks of an answer.
const lineWidth = 72

// letter builds a plain text, one paragraph after another.
type letter struct{ text strings.Builder }

// para adds a paragraph; an empty one is passed over.
func (l *letter) para(s string) { l.hang("", s) }

// list adds points with a hyphen each.
func (l *letter) list(points []string) {
	for _, p := range points {
		l.point(p)
	}
	l.gap()
}

func (l *letter) point(s string) {
	if strings.TrimSpace(s) != "" {
		l.text.WriteString(wrap("- ", "  ", s))
	}
}

// fact adds a line such as "When: Saturday"; an empty value is passed over.
func (l *letter) fact(name, value string) {
	if strings.TrimSpace(value) != "" {
		l.text.WriteString(wrap(name+": ", "  ", value))
	}
}

func (l *letter) hang(first, s string) {
	if strings.TrimSpace(s) == "" {
		return
	}
	l.text.WriteString(wrap(first, "", s))
	l.gap()
}

// gap ends a block with an empty line, once.
func (l *letter) gap() {
	if l.text.Len() > 0 && !strings.HasSuffix(l.text.String(), "\n\n") {
		l.text.WriteByte('\n')
	}
}

// wrap breaks a text between words; a word longer than a line, such as a link, stays
// whole. Line breaks in the text become spaces.
func wrap(first, other, s string) string {
	var out strings.Builder
	line := first
	for i, word := range strings.Fields(s) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWidth {
			out.WriteString(line + "\n")
			line = other + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	return out.String() + line + "\n"
}
