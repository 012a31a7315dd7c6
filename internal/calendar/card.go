package calendar

import (
	"fmt"
	"strings"

	"saltbush/internal/unit"
)

// Card is somebody to ring, and where to meet, for the address book of a phone.
type Card struct {
	UID          string
	Name         string // as it is spoken
	Organisation string
	Title        string // what the person is that day, such as "On call"
	Phone        string
	Email        string
	At           unit.Position // the zero value is none
	Note         string
}

// Bytes returns the card as a file. RFC 6350 (2011).
func (c Card) Bytes() []byte {
	var w lines
	w.put("BEGIN", "VCARD")
	w.put("VERSION", "4.0")
	w.put("KIND", "individual")
	w.text("UID", c.UID)
	w.text("FN", c.Name)
	w.textOrNone("ORG", c.Organisation)
	w.textOrNone("TITLE", c.Title)
	if tel := dial(c.Phone); tel != "" {
		w.put("TEL;VALUE=uri;TYPE=voice", "tel:"+tel)
	}
	w.textOrNone("EMAIL", c.Email)
	if c.At != (unit.Position{}) && c.At.Valid() {
		w.put("GEO", geo(c.At))
	}
	w.textOrNone("NOTE", c.Note)
	w.put("END", "VCARD")
	return w.bytes()
}

// dial keeps what a phone dials: digits, and a plus in front. A number without its country
// is local to the reader. RFC 3966 (2004), section 3.
func dial(phone string) string {
	digits := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, phone)
	if digits != "" && strings.HasPrefix(strings.TrimSpace(phone), "+") {
		return "+" + digits
	}
	return digits
}

// geo is a place as an address. RFC 5870 (2010).
func geo(p unit.Position) string {
	return fmt.Sprintf("geo:%.6f,%.6f", p.Lat.Degrees(), p.Lon.Degrees())
}
