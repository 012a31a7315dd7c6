package calendar

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/unit"
)

// Method says what a file is for. RFC 5546 (2009), section 1.4.
type Method string

// The methods that are written.
const (
	Publish Method = "PUBLISH" // a list to look at
	Request Method = "REQUEST" // a place on a hike, new or changed
	Cancel  Method = "CANCEL"  // a place that is no more
)

// Status says whether an event takes place. RFC 5545 (2009), section 3.8.1.11.
type Status string

// The states of an event.
const (
	Tentative Status = "TENTATIVE"
	Confirmed Status = "CONFIRMED"
	Cancelled Status = "CANCELLED"
)

// Person is somebody with a mail address.
type Person struct{ Name, Email string }

// Event is one entry. Start and End are instants in the zone whose wall clock the reader
// sees; a zero End is left out, for nobody knows it yet.
type Event struct {
	UID         string // the same as long as the entry lives
	Sequence    int    // rises with every change
	Stamp       time.Time
	Start, End  time.Time
	Summary     string
	Description string
	Location    string
	At          unit.Position // the pin of the place; the zero value is none
	URL         string
	Status      Status
	Organizer   Person // required for Request and Cancel
	Attendee    Person // whom a Request or Cancel is for
}

// Calendar is a file of entries.
type Calendar struct {
	Name   string // as the reader's program lists it; "" for none
	Method Method
	Events []Event
}

// Digest changes when something changes that a reader has to be told: neither the number
// and time of writing, nor the address, which is known only to who holds it.
func (e Event) Digest() [sha256.Size]byte {
	return sha256.Sum256(fmt.Appendf(nil, "%q %d %d %s %q %q %q %.6f %.6f %s",
		e.UID, e.Start.Unix(), unixOrNone(e.End), e.Start.Location(),
		e.Summary, e.Description, e.Location, e.At.Lat.Degrees(), e.At.Lon.Degrees(), e.Status))
}

// Differs reports whether a person who was told of the one has to be told of the other:
// an end that moves by less than slack is the same to them.
func (e Event) Differs(was Event, slack time.Duration) bool {
	known := e.End.IsZero() == was.End.IsZero()
	if shift := e.End.Sub(was.End).Abs(); known && shift < slack {
		e.End = was.End
	}
	return e.Digest() != was.Digest()
}

func unixOrNone(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.Unix()
}

// Bytes returns the file.
func (c Calendar) Bytes() []byte {
	var w lines
	w.put("BEGIN", "VCALENDAR")
	w.put("VERSION", "2.0")
	w.put("PRODID", "-//Saltbush//Guided hikes//EN")
	w.put("METHOD", string(c.Method))
	if c.Name != "" {
		// RFC 7986 (2016), section 5.1; and the older name that programs look for.
		w.text("NAME", c.Name)
		w.text("X-WR-CALNAME", c.Name)
	}
	for _, z := range zonesOf(c.Events) {
		z.write(&w)
	}
	for _, e := range c.Events {
		e.write(&w, c.Method)
	}
	w.put("END", "VCALENDAR")
	return w.bytes()
}

func (e Event) write(w *lines, m Method) {
	w.put("BEGIN", "VEVENT")
	w.text("UID", e.UID)
	w.put("SEQUENCE", fmt.Sprint(e.Sequence))
	w.put("DTSTAMP", utc(e.Stamp))
	w.time("DTSTART", e.Start)
	if e.End.After(e.Start) {
		w.time("DTEND", e.End)
	}
	w.text("SUMMARY", e.Summary)
	w.textOrNone("DESCRIPTION", e.Description)
	w.textOrNone("LOCATION", e.Location)
	if e.At != (unit.Position{}) && e.At.Valid() {
		// RFC 5545, section 3.8.1.6: six places, latitude first.
		w.put("GEO", fmt.Sprintf("%.6f;%.6f", e.At.Lat.Degrees(), e.At.Lon.Degrees()))
	}
	if e.URL != "" {
		w.put("URL", oneLine(e.URL))
	}
	w.put("STATUS", string(e.Status))
	w.put("TRANSP", "OPAQUE")
	if m != Publish {
		e.people(w)
	}
	w.put("END", "VEVENT")
}

// people names who invites and who is invited. No answer is asked for: the person has
// asked for the place themself.
func (e Event) people(w *lines) {
	w.put("ORGANIZER"+nameParam(e.Organizer.Name), "mailto:"+oneLine(e.Organizer.Email))
	if e.Attendee.Email != "" {
		w.put("ATTENDEE"+nameParam(e.Attendee.Name)+";ROLE=REQ-PARTICIPANT;PARTSTAT=ACCEPTED;RSVP=FALSE",
			"mailto:"+oneLine(e.Attendee.Email))
	}
}

// nameParam is the parameter of a name, encoded as RFC 6868 (2013) says: a quotation mark
// cannot stand in it as it is.
func nameParam(name string) string {
	if name == "" {
		return ""
	}
	name = strings.NewReplacer("^", "^^", "\"", "^'", "\r\n", "^n", "\n", "^n", "\r", "^n").Replace(name)
	return ";CN=\"" + oneLine(name) + "\""
}
