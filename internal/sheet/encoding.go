package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Encoding is the character encoding of a file.
type Encoding string

// The supported encodings. Windows-1252 is always a guess: files do not say that they use it.
const (
	UTF8        Encoding = "UTF-8"
	UTF16Little Encoding = "UTF-16, little end first"
	UTF16Big    Encoding = "UTF-16, big end first"
	Windows1252 Encoding = "Windows-1252"
)

// Guessed reports whether the encoding was guessed.
func (e Encoding) Guessed() bool { return e == Windows1252 }

// Byte order marks: The Unicode Standard 15.0 (2022), section 23.8, table 23-6.
const (
	markUTF8        = "\xef\xbb\xbf"
	markUTF16Little = "\xff\xfe"
	markUTF16Big    = "\xfe\xff"
	markUTF32Little = "\xff\xfe\x00\x00"
)

// First bytes of the native files of spreadsheet programs: a zip archive (APPNOTE 6.3.10,
// section 4.3.7) and a compound file ([MS-CFB] 2.2).
const (
	archive  = "PK\x03\x04"
	compound = "\xd0\xcf\x11\xe0"
)

// decode returns the text without its byte order mark.
func decode(data []byte) (string, Encoding, error) {
	has := func(mark string) bool { return bytes.HasPrefix(data, []byte(mark)) }
	var text string
	enc, err := UTF8, error(nil)
	switch {
	case has(archive), has(compound):
		return "", "", Fault{Reason: "this is a spreadsheet's own file: save it as CSV and choose that"}
	case has(markUTF32Little):
		return "", "", Fault{Reason: "this is written in UTF-32: save it as UTF-8"}
	case has(markUTF8):
		text, err = strictUTF8(data[len(markUTF8):])
	case has(markUTF16Little):
		enc = UTF16Little
		text, err = decodeUTF16(data[2:], unicode.LittleEndian)
	case has(markUTF16Big):
		enc = UTF16Big
		text, err = decodeUTF16(data[2:], unicode.BigEndian)
	case utf8.Valid(data):
		text = string(data)
	default:
		enc = Windows1252
		text, err = decode1252(data)
	}
	if err != nil {
		return "", "", err
	}
	if i := strings.IndexByte(text, 0); i >= 0 {
		return "", "", Fault{Line: lineOf(text[:i]),
			Reason: "there is a zero byte, which no text has: save the file as CSV in UTF-8"}
	}
	return text, enc, nil
}

func strictUTF8(data []byte) (string, error) {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return "", Fault{Line: lineOf(string(data[:i])),
				Reason: fmt.Sprintf("the file says that it is UTF-8, and byte %#x is none", data[i])}
		}
		i += size
	}
	return string(data), nil
}

// decodeUTF16 refuses half a surrogate pair. The decoder writes U+FFFD for one, so the text
// encoded again differs from the file there. Neither direction returns errors.
func decodeUTF16(data []byte, order unicode.Endianness) (string, error) {
	if len(data)%2 != 0 {
		return "", Fault{Reason: "the file says that it is UTF-16, and its last letter is cut in two"}
	}
	enc := unicode.UTF16(order, unicode.IgnoreBOM)
	text, _ := enc.NewDecoder().Bytes(data)
	again, _ := enc.NewEncoder().Bytes(text)
	for i := range data {
		if i == len(again) || again[i] != data[i] {
			before, _ := enc.NewDecoder().Bytes(data[:i&^1])
			return "", Fault{Line: lineOf(string(before)),
				Reason: "the file says that it is UTF-16, and half a letter stands alone"}
		}
	}
	return string(text), nil
}

// decode1252 reads files that are not UTF-8 as most Western spreadsheets write them. It
// refuses bytes that Windows-1252 does not use (WHATWG Encoding Standard, index windows-1252:
// they map to control characters), because then the guess is wrong.
func decode1252(data []byte) (string, error) {
	var b strings.Builder
	for i, c := range data {
		r := charmap.Windows1252.DecodeByte(c)
		if r >= 0x80 && r < 0xa0 || r == utf8.RuneError {
			return "", Fault{Line: lineOf(string(data[:i])),
				Reason: fmt.Sprintf("byte %#x is neither UTF-8 nor Windows-1252: save the file as UTF-8", c)}
		}
		b.WriteRune(r)
	}
	return b.String(), nil
}

// lineOf returns the number of the line at the end of the text.
func lineOf(before string) int {
	p := parser{text: before, line: 1}
	p.pass(len(before))
	return p.line
}
