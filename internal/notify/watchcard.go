package notify

import (
	"cmp"
	"saltbush/internal/party"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/ride"
	"saltbush/internal/watch"
)

// place tells rescuers where a party walks. A trail that could not be read leaves its name.
func (w WatchFacts) place(h hike.Hike, name string) [][2]string {
	list := [][2]string{{"Trail", name}}
	t, known := w.Trails[h.Trail]
	if !known {
		return list
	}
	if t = h.On(t); t.Profile.Length > 0 {
		metric, us := format.Length(t.Profile.Length, format.Metric), format.Length(t.Profile.Length, format.US)
		list[0][1] += ", " + string(t.Profile.Shape) + ", " + metric + " (" + us + ")"
	}
	if h.Turn.Made() {
		list[0][1] += ", turns at " + h.Turn.Where()
	}
	if len(t.Profile.Samples) > 0 {
		list = append(list, [2]string{"Trailhead", format.Position(t.Profile.Samples[0].At) + " (WGS84)"})
	}
	if t.Meeting != "" {
		list = append(list, [2]string{"Meeting place", t.Meeting})
	}
	list = append(list, [2]string{"Phone signal", cmp.Or(t.Signal, "not known")})
	if t.Manager != "" {
		list = append(list, [2]string{"Land manager", t.Manager})
	}
	return list
}

// clockTimes lists the start of a hike and the times that were promised for it.
func clockTimes(c watch.Case, zone *time.Location) [][2]string {
	if !c.Promised {
		return [][2]string{{"Start", format.Moment(c.Hike.Start, zone)}, {"Return", "not known: no plan was made"}}
	}
	t := c.Times
	start := "Left"
	if !t.DepartureConfirmed {
		start = "Planned start"
	}
	list := [][2]string{{start, format.Moment(t.Start, zone)}}
	if k := c.Clocks(); !k.Turn.IsZero() {
		list = append(list, [2]string{"Turn around by", format.Moment(k.Turn, zone) + " (" + k.TurnBecause + ")"})
	}
	list = append(list, [][2]string{
		{"Likely return", format.Moment(t.Expected, zone)},
		{"Watch time", format.Moment(t.Watch, zone)},
		{"Call time", format.Moment(t.Call, zone)},
	}...)
	for _, l := range c.Promise.Limits() {
		list = append(list, [2]string{capitalized(l.Name), format.Moment(l.At, zone)})
	}
	return list
}

// missing lists everybody who is not accounted for, with the last place and time of each.
func missing(s party.State, zone *time.Location) []string {
	var list []string
	for _, p := range s.MissingPersons() {
		text := p.Name
		if p.Role != "" {
			text += " (" + p.Role + ")"
		}
		if p.Last.At.IsZero() {
			text += ": not counted yet"
		} else {
			text += ": " + cmp.Or(p.Last.Place, "place not given") + ", " + format.Clock(p.Last.At, zone)
		}
		list = append(list, text)
	}
	if s.Unnamed > 0 {
		list = append(list, format.Count(s.Unnamed, "person", "people")+" more, without a name")
	}
	return list
}

// openCars lists the plates on the roll whose cars have not left, with their owners.
func openCars(s party.State, parked ride.ParkedCars) []string {
	var list []string
	for _, c := range s.OpenCars() {
		text := c.Plate
		if len(c.Owners) > 0 {
			text += " (" + strings.Join(c.Owners, ", ") + ")"
		}
		list = append(list, parked.Where(c.Plate, text))
	}
	return append(list, parked.Staff...)
}

// phoneNumbers lists whom to call, the people on the trail first.
func (w WatchFacts) phoneNumbers(h hike.Hike) [][2]string {
	var list [][2]string
	add := func(role, name, phone string) {
		if name != "" {
			list = append(list, [2]string{role + " " + name, cmp.Or(phone, "no number known")})
		}
	}
	for _, m := range h.Staff {
		add(capitalized(string(m.Role)), m.Name, m.Phone)
	}
	add("On call", h.OnCall.Name, h.OnCall.Phone)
	add("Deputy", h.Deputy.Name, h.Deputy.Phone)
	if w.House.Emergency != "" {
		list = append(list, [2]string{"Emergency number", w.House.Emergency})
	}
	return list
}

// cardSteps lists what to do at which clock time, for the watch card.
func cardSteps(f watch.Firing) []string {
	if !f.Promised {
		return nil
	}
	zone := f.Hike.Start.Location()
	var list []string
	for _, r := range watch.Ladder(f.Times, f.Hike.Deputy.Name != "") {
		if r.Unless == watch.StepCall {
			continue // the repeated notice asks for nothing new
		}
		var who []string
		for _, o := range r.Who {
			who = append(who, string(o))
		}
		at := format.ClockAfter(r.At, f.Hike.Start, zone)
		list = append(list, at+", "+r.Name+" ("+strings.Join(who, ", ")+"): "+r.Do)
	}
	return list
}

// capitalized begins an English word with a capital letter.
func capitalized(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
