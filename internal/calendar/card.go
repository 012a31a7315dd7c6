package calendar

import (
	"fmt"
	"strings"

	"saltbush/internal/text"
	"saltbush/internal/unit"
)

// Card is a contact and a meeting point for the address book of a phone.
type Card struct {
	UID          string
	Name         string
	Organization string
	Title        string // the person's role on the hike, such as "On call"
	Phone        string
	Email        string
	At           unit.Position // the zero value is none
	Note         string
}

// Bytes returns the card as a vCard file. RFC 6350 (2011).
func (c Card) Bytes() []byte {
	var w lines
	w.put("BEGIN", "VCARD")
	w.put("VERSION", "4.0")
	w.put("KIND", "individual")
	w.text("UID", c.UID)
	w.text("FN", c.Name)
	w.textOrNone("ORG", c.Organization)
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

// dial returns a number for a tel: URI: digits, after a plus if there is a country code. RFC
// 3966 (2004), section 3.
func dial(phone string) string {
	digits := text.Digits(phone)
	if digits != "" && strings.HasPrefix(strings.TrimSpace(phone), "+") {
		return "+" + digits
	}
	return digits
}

// geo returns a place as a geo: URI. RFC 5870 (2010).
func geo(p unit.Position) string {
	return fmt.Sprintf("geo:%.6f,%.6f", p.Lat.Degrees(), p.Lon.Degrees())
}
