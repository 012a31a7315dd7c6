package site

import (
	"cmp"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// place says where a party walks, for whoever has to send somebody there. A trail that
// could not be read leaves its name: an alarm does not wait for it.
func (n notifier) place(h hike.Hike, name string) [][2]string {
	list := [][2]string{{"Trail", name}}
	t, known := n.trails[h.Trail]
	if !known {
		return list
	}
	if t.Profile.Length > 0 {
		metric, us := format.Length(t.Profile.Length, format.Metric), format.Length(t.Profile.Length, format.US)
		list[0][1] += ", " + string(t.Profile.Shape) + ", " + metric + " (" + us + ")"
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

// cars are those that the roll knows and that have not gone, with who came in them.
func cars(s roll.State, parked ride.ParkedCars) []string {
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

// when lists what to do at which clock time, for the card.
func when(f watch.Firing) []string {
	if !f.Promised {
		return nil
	}
	zone := f.Hike.Start.Location()
	var list []string
	for _, r := range watch.Ladder(f.Times, f.Hike.Deputy.Name != "") {
		var who []string
		for _, o := range r.Who {
			who = append(who, string(o))
		}
		if r.Unless == watch.StepCall {
			continue // the notice alone comes twice, what to do does not
		}
		list = append(list, format.ClockAfter(r.At, f.Hike.Start, zone)+", "+r.Name+" ("+strings.Join(who, ", ")+"): "+r.Do)
	}
	return list
}
