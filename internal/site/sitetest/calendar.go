package sitetest

import (
	"strings"

	"github.com/emersion/go-ical"
)

// Events reads the page as a calendar file (RFC 5545).
func (p Page) Events() []ical.Event {
	p.t.Helper()
	cal, err := ical.NewDecoder(strings.NewReader(p.Body)).Decode()
	if err != nil {
		p.t.Fatalf("%s: %v\n%s", p.Asked, err, p.Body)
	}
	return cal.Events()
}

// Event reads the page as a calendar file with one event.
func (p Page) Event() ical.Event {
	p.t.Helper()
	list := p.Events()
	if len(list) != 1 {
		p.t.Fatalf("%s: %d events, want 1", p.Asked, len(list))
	}
	return list[0]
}

// Property is a property of an event as it is written, "" where there is none.
func Property(e ical.Event, name string) string {
	if p := e.Props.Get(name); p != nil {
		return p.Value
	}
	return ""
}
