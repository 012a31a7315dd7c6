package calendar

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// zone is a time zone and the earliest and latest instant of a file in it.
type zone struct {
	loc         *time.Location
	first, last time.Time
}

// zonesOf returns the zones of the events except UTC, by name.
func zonesOf(events []Event) []zone {
	by := map[string]*zone{}
	for _, e := range events {
		for _, t := range []time.Time{e.Start, e.End} {
			if t.IsZero() || t.Location() == time.UTC {
				continue
			}
			z, known := by[t.Location().String()]
			if !known {
				z = &zone{t.Location(), t, t}
				by[t.Location().String()] = z
			}
			z.stretch(t)
		}
	}
	var list []zone
	for _, z := range by {
		list = append(list, *z)
	}
	slices.SortFunc(list, func(a, b zone) int { return strings.Compare(a.loc.String(), b.loc.String()) })
	return list
}

func (z *zone) stretch(t time.Time) {
	if t.Before(z.first) {
		z.first = t
	}
	if t.After(z.last) {
		z.last = t
	}
}

// write describes the zone by its clock changes, from the one before the first instant to the
// one after the last. It does not guess a rule, so years in which the law changes are right
// too. RFC 5545 (2009), section 3.6.5.
func (z zone) write(w *lines) {
	w.put("BEGIN", "VTIMEZONE")
	w.put("TZID", z.loc.String())
	at := z.first
	for {
		start, end := at.ZoneBounds()
		observance(w, at, start)
		if end.IsZero() || start.After(z.last) {
			break
		}
		at = end
	}
	w.put("END", "VTIMEZONE")
}

// observance writes the period of the zone at an instant. The start is by the clock of the
// period before. A period without a start gets 1970, before any hike.
func observance(w *lines, at, start time.Time) {
	kind := "STANDARD"
	if at.IsDST() {
		kind = "DAYLIGHT"
	}
	name, to := at.Zone()
	from, begins := to, "19700101T000000"
	if !start.IsZero() {
		_, from = start.Add(-time.Second).Zone()
		begins = start.UTC().Add(time.Duration(from) * time.Second).Format(local)
	}
	w.put("BEGIN", kind)
	w.put("DTSTART", begins)
	w.put("TZOFFSETFROM", offset(from))
	w.put("TZOFFSETTO", offset(to))
	w.text("TZNAME", name)
	w.put("END", kind)
}

// offset writes seconds east of UTC as +hhmm or +hhmmss. It never writes -0000, which the
// standard forbids.
func offset(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	text := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if seconds%60 != 0 {
		text += fmt.Sprintf("%02d", seconds%60)
	}
	return text
}
