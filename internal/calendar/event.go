package calendar

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/unit"
)

// Method is what a file is for. RFC 5546 (2009), section 1.4.
type Method string

// The methods that we use.
const (
	Publish Method = "PUBLISH" // a list of hikes
	Request Method = "REQUEST" // a new or changed place on a hike
	Cancel  Method = "CANCEL"  // a place that was given up or lost
)

// Status says whether an event takes place. RFC 5545 (2009), section 3.8.1.11.
type Status string

// The statuses of an event.
const (
	Tentative Status = "TENTATIVE"
	Confirmed Status = "CONFIRMED"
	Cancelled Status = "CANCELLED"
)

// Person is somebody with a mail address.
type Person struct{ Name, Email string }

// Event is one entry. Start and End are in the zone of the trailhead. A zero End is unknown
// and left out.
type Event struct {
	UID         string // never changes
	Sequence    int    // increases with every change
	Stamp       time.Time
	Start, End  time.Time
	Summary     string
	Description string
	Location    string
	At          unit.Position // the zero value is none
	URL         string
	Status      Status
	Organizer   Person // required for Request and Cancel
	Attendee    Person // whom a Request or Cancel is for
}

// Calendar is a file of entries.
type Calendar struct {
	Name   string // shown by the reader's app; empty for none
	Method Method
	Events []Event
}

// Digest is a hash of everything that readers must be told about. It leaves out Sequence and
// Stamp, and the URL, which differs from reader to reader.
func (e Event) Digest() [sha256.Size]byte {
	return sha256.Sum256(fmt.Appendf(nil, "%q %d %d %s %q %q %q %.6f %.6f %s",
		e.UID, e.Start.Unix(), unixOrNone(e.End), e.Start.Location(),
		e.Summary, e.Description, e.Location, e.At.Lat.Degrees(), e.At.Lon.Degrees(), e.Status))
}

// Differs reports whether a person who knows the event as was must be told about e. An end
// that moves by less than slack does not count.
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
		// RFC 7986 (2016), section 5.1, and the older property that many apps read.
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
		// RFC 5545, section 3.8.1.6: six decimals, latitude first.
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

// people writes who invites and who is invited. It asks for no answer, because the person
// asked for the place.
func (e Event) people(w *lines) {
	w.put("ORGANIZER"+nameParam(e.Organizer.Name), "mailto:"+oneLine(e.Organizer.Email))
	if e.Attendee.Email != "" {
		w.put("ATTENDEE"+nameParam(e.Attendee.Name)+";ROLE=REQ-PARTICIPANT;PARTSTAT=ACCEPTED;RSVP=FALSE",
			"mailto:"+oneLine(e.Attendee.Email))
	}
}

// nameParam returns a name as a parameter, encoded by RFC 6868 (2013), because a parameter
// cannot contain a quotation mark.
func nameParam(name string) string {
	if name == "" {
		return ""
	}
	name = strings.NewReplacer("^", "^^", "\"", "^'", "\r\n", "^n", "\n", "^n", "\r", "^n").Replace(name)
	return ";CN=\"" + oneLine(name) + "\""
}
