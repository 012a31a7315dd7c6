package calendar

import (
	"bytes"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"saltbush/internal/format"
)

// longestLine is the limit of a line in octets, without its end.
// RFC 5545 (2009), section 3.1; RFC 6350 (2011), section 3.2.
const longestLine = 75

// lines writes content lines, folded as both formats require.
type lines struct{ out bytes.Buffer }

func (w *lines) bytes() []byte { return w.out.Bytes() }

// put writes a line with a value that needs no escaping.
func (w *lines) put(name, value string) {
	rest, room := name+":"+value, longestLine
	for len(rest) > room {
		cut := room
		for !utf8.RuneStart(rest[cut]) {
			cut--
		}
		w.out.WriteString(rest[:cut] + "\r\n ")
		rest, room = rest[cut:], longestLine-1 // the space counts
	}
	w.out.WriteString(rest + "\r\n")
}

// text writes a line with a text value.
func (w *lines) text(name, value string) { w.put(name, Escape(value)) }

func (w *lines) textOrNone(name, value string) {
	if value != "" {
		w.text(name, value)
	}
}

// time writes an instant by the wall clock of its zone. A wall clock that is repeated means
// the first time (RFC 5545, section 3.3.5), so the second is written in UTC.
func (w *lines) time(name string, t time.Time) {
	if t.Location() == time.UTC || format.SecondPass(t) {
		w.put(name, utc(t))
		return
	}
	w.put(name+";TZID="+t.Location().String(), t.Format(local))
}

const local = "20060102T150405"

func utc(t time.Time) string { return t.UTC().Format(local + "Z") }

// Escape returns a text as a value. Line ends become \n; other control characters except
// tabs are left out. RFC 5545 (2009), section 3.3.11.
func Escape(s string) string {
	s = strings.ToValidUTF8(s, "\ufffd")
	s = strings.NewReplacer("\\", "\\\\", ";", "\\;", ",", "\\,", "\r\n", "\\n", "\n", "\\n", "\r", "\\n").Replace(s)
	return oneLineButTab(s)
}

// oneLine leaves out control characters, and makes tabs spaces.
func oneLine(s string) string { return strings.ReplaceAll(oneLineButTab(s), "\t", " ") }

func oneLineButTab(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\t' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}
