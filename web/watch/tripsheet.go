package watch

import (
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/privacy"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// ShowTripSheet shows the leader's paper: the stored plan, and the people as far as the viewer
// may see them.
func (s *Handlers) ShowTripSheet(w http.ResponseWriter, r *http.Request) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	ground, err := s.Ground.Ground(r.Context(), t.Trail.ID)
	if err != nil {
		return err
	}
	h, zone, u := t.Hike, t.Zone(), s.UnitsOf(r)
	p := view.TripSheetPage{Page: s.Page(r, "Trip sheet of "+h.Title, "Desk"),
		Over: t.Trail.Name + ", " + format.Day(h.Start, zone), Hike: h.Title, BackURL: paths.Manage(h.ID),
		State:    ui.StampOf(string(h.State)),
		Decision: "Nothing is decided yet: the hour for it is " + format.Moment(h.DecideBy(), zone) + ".",
		Made: "Printed from what was stored on " + format.Moment(s.Now(), zone) +
			". What changes later is not on it.",
		NoPoints: "No places are noted on this trail: count at every junction and after every stop.",
		After: "Health is not on paper: what to do for a person is on the roll of the day, on the phones of " +
			"leader and sweep. Give this sheet back or shred it; never leave it in a car."}
	if h.Decision.Made() {
		p.Decision = h.Decision.Says() + " By " + h.Decision.By + ", " + format.Moment(h.Decision.At, zone) + "."
	}
	if !s.May(r, account.ManageHike) {
		p.BackURL = "/board"
	}
	rec, err := s.Rolls.Record(r.Context(), h.ID)
	if err != nil {
		return err
	}
	p.Warn = tripWarnings(t, ground, rec.State().Departure)
	p.Times, p.Numbers = tripTimes(t, zone), tripNumbers(t, house, u)
	p.Water, p.Weather, p.Age = tripWater(t, u), tripWeather(t, zone, u), tripAge(t, s.Now())
	points := trail.TripPoints(t.Trail, t.Plan)
	p.Points, p.Escapes = tripPoints(points, zone, u), tripEscapes(t.Trail, trail.Escapes(points), u)
	visibility := s.StaffVisibility(r, h)
	p.People, p.Closed = tripPeople(t, visibility, u), tripClosed(h, visibility)
	return s.Render(w, r, http.StatusOK, view.TripSheet(p))
}

func tripWarnings(t hike.Data, g trail.Ground, d party.Departure) []string {
	var warn []string
	if w := t.Hike.OnCallWarning(d); w != "" {
		warn = append(warn, w)
	}
	switch {
	case t.Plan == nil:
		warn = append(warn,
			"No forecast has been typed, so there is no plan: no time of return, no turnaround and no water was "+
				"computed.")
	case kit.Stale(t) != "":
		warn = append(warn, kit.Stale(t))
	}
	if t.Plan != nil && t.Plan.Verdict.Decision != plan.Go {
		warn = append(warn, "The plan says "+string(t.Plan.Verdict.Decision)+": "+
			strings.Join(t.Plan.Verdict.Reasons[:min(2, len(t.Plan.Verdict.Reasons))], " "))
	}
	if why := g.Closed(unit.DateOf(t.Hike.Start)); why != "" {
		warn = append(warn, why)
	}
	return warn
}

func tripTimes(t hike.Data, zone *time.Location) []format.Line {
	h := t.Hike
	lines := []format.Line{{Label: "Meet", Value: format.Clock(h.Meet, zone), Note: t.Trail.Meeting},
		{Label: "Walk from", Value: format.Clock(h.Start, zone)}}
	if t.Plan == nil {
		return append(lines, format.Line{Label: "Turn around by", Note: kit.TurnNote(t.Clocks, "")},
			format.Line{Label: "Back"},
			format.Line{Label: "Watch time"}, format.Line{Label: "Call time"})
	}
	c := t.Clocks
	if c.Left {
		lines = append(lines, format.FactLine("Left", format.FactStart, c.Start, zone))
	}
	return append(append(lines, kit.TurnLines(c, zone)...),
		format.FactLine("Likely back", format.FactExpected, c.Expected, zone),
		format.FactLine("Watch time", format.FactWatch, c.Watch, zone).With(kit.WatchNote(c, zone)),
		format.FactLine("Call time", format.FactCall, c.Call, zone).With("on-call calls for help"))
}

// tripNumbers lists whom to call. Staff numbers are not private among staff.
func tripNumbers(t hike.Data, house rules.House, u format.System) []format.Line {
	h := t.Hike
	var lines []format.Line
	for _, m := range h.Staff {
		line := format.Line{Label: format.SentenceWord(string(m.Role)), Value: nameAndPhone(m.Name, m.Phone)}
		if !m.Accepted() {
			line.Note = "asked, not accepted"
		}
		lines = append(lines, line)
	}
	lines = append(lines, format.Line{Label: "On call", Value: nameAndPhone(h.OnCall.Name, h.OnCall.Phone)})
	if h.Deputy.Name != "" {
		lines = append(lines, format.Line{Label: "Deputy", Value: nameAndPhone(h.Deputy.Name, h.Deputy.Phone)})
	}
	lines = append(lines, format.Line{Label: "Emergency", Value: house.Emergency, Note: "Say where you are first."},
		format.Line{Label: "Land manager", Value: t.Trail.Manager},
		format.Line{Label: "Phone signal", Value: t.Trail.Signal})
	if len(t.Trail.Profile.Samples) > 0 {
		lines = append(lines, format.Line{Label: "Trailhead", Value: format.Position(t.Trail.Profile.Samples[0].At),
			Note: format.Length(t.Trail.Profile.Length, u) + ", " + string(t.Trail.Profile.Shape) + ", " +
				format.Height(t.Trail.Profile.Ascent, u) + " up (WGS84)"})
	}
	return lines
}

// nameAndPhone writes both, or the one that is known.
func nameAndPhone(name, phone string) string { return strings.Trim(name+", "+phone, ", ") }

func tripWater(t hike.Data, u format.System) []format.Line {
	if t.Plan == nil {
		return []format.Line{{Label: "Each carries"}, {Label: "Group reserve"}}
	}
	w := t.Plan.Water
	lines := []format.Line{{Label: "Each carries", Value: format.Volume(w.Carry, u), Note: kit.Bottles(w)},
		{Label: "Drink", Value: format.Flow(w.Drink, u), Note: "salty food with it; " + kit.DrinkCeiling(u)},
		{Label: "Group reserve", Value: format.Volume(w.Reserve, u), Note: "carried by staff"},
		{Label: "Before the start", Value: format.Volume(w.BeforeStart, u)}}
	for _, x := range kit.Refills(w, u) {
		lines = append(lines, format.Line{Label: "On the way", Value: x})
	}
	return lines
}

func tripAge(t hike.Data, now time.Time) string {
	if t.Plan == nil {
		return "No forecast has been typed."
	}
	return "Forecast typed by " + format.Moment(t.Stored.Made, t.Zone()) + ", " +
		format.Duration(now.Sub(t.Stored.Made)) + " before this was printed."
}

func tripWeather(t hike.Data, zone *time.Location, u format.System) []format.Line {
	if t.Plan == nil {
		return []format.Line{{Label: "Air on the walk"}, {Label: "Official heat level"}}
	}
	f, p := t.Stored.Inputs.Forecast, t.Plan
	sun := func(i plan.Instant) string { return clockOr(i.Time, zone, "none") }
	lines := []format.Line{
		{Label: "Low and high", Value: format.Temperature(f.Low, u) + " to " + format.Temperature(f.High, u),
			Note: "wind " + format.Speed(f.Wind, u) + ", cloud " + format.Percent(f.Cloud.Percent())},
		{Label: "Hottest on the walk", Value: format.Temperature(p.Heat.PeakAir, u),
			Note: "at " + format.Clock(p.Heat.PeakAt.Time, zone)},
		{Label: "Sun up and down", Value: sun(p.Sun.Sunrise) + " and " + sun(p.Sun.Sunset),
			Note: "last light " + sun(p.Sun.CivilDusk)}}
	return append(lines, kit.OfficialLines(p.Official)...)
}

// clockOr writes a time, or the other text if there is none.
func clockOr(t time.Time, zone *time.Location, other string) string {
	if t.IsZero() {
		return other
	}
	return format.Clock(t, zone)
}

func tripPoints(points []trail.TripPoint, zone *time.Location, u format.System) ui.LedgerText {
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Place"}, {Label: "At", Figure: true}, {Label: "There"},
		{Label: "Turn by"}, {Label: "Passing back"}, {Label: "Counted"}}}
	clock := func(t time.Time) string { return clockOr(t, zone, "") }
	for _, x := range points {
		there := clock(x.At)
		if !x.Late.IsZero() {
			there = format.ClockRange(x.At, x.Late, zone)
		}
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name + " (" + format.Join(x.Kinds, ", ") + ")"},
			{Text: format.Length(x.Along, u)}, {Text: there}, {Text: clock(x.TurnAtMax)}, {Text: clock(x.BackAt)},
			{Text: toFill}})
	}
	return l
}

// toFill leaves a cell to write in; an empty one would be shown as not known.
const toFill = "\u00a0"

func tripEscapes(t trail.Trail, points []trail.TripPoint, u format.System) []format.Line {
	var lines []format.Line
	for _, x := range points {
		lines = append(lines, format.Line{Label: x.Name, Value: format.Length(x.Along, u) + " from the start, " +
			format.Position(t.Profile.SampleAt(x.Along).At), Note: x.Note})
	}
	if len(lines) == 0 {
		lines = []format.Line{{Label: "On this trail", Value: "none is noted: the way out is the way back"}}
	}
	return lines
}

// tripPeople lists who walks, with what the viewer may see of each.
func tripPeople(t hike.Data, visibility privacy.Visibility, u format.System) ui.LedgerText {
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Name"}, {Label: "Brings", Figure: true}}}
	contact, plate := visibility.CanSee(privacy.KindContact), visibility.CanSee(privacy.KindPlate)
	if contact {
		l.Columns = append(l.Columns, ui.Column{Label: "Emergency contact"})
	}
	if plate {
		l.Columns = append(l.Columns, ui.Column{Label: "Car"})
	}
	l.Columns = append(l.Columns, ui.Column{Label: "Here"}, ui.Column{Label: "Out"}, ui.Column{Label: "Back"})
	if !visibility.CanSee(privacy.KindName) {
		return l
	}
	for i, x := range signup.Walking(t.SignUps) {
		name := ui.Cell{Text: fmt.Sprintf("%d %s", i+1, x.Name)}
		if x.Minor {
			name.Note = "child; " + format.OrElse(x.Adult, "nobody") + " answers"
		}
		row := []ui.Cell{name, {Text: format.Volume(x.Water, u)}}
		if contact {
			row = append(row, ui.Cell{Text: nameAndPhone(x.EmergencyName, x.EmergencyPhone)})
		}
		if plate {
			row = append(row, ui.Cell{Text: x.Car.Plate})
		}
		l.Rows = append(l.Rows, append(row, ui.Cell{Text: toFill}, ui.Cell{Text: toFill}, ui.Cell{Text: toFill}))
	}
	return l
}

func tripClosed(h hike.Hike, visibility privacy.Visibility) string {
	switch {
	case !visibility.CanSee(privacy.KindName):
		return kit.OpensWords("Names open", h) + " Print it then."
	case !visibility.CanSee(privacy.KindContact):
		return kit.OpensWords("Whom to ring in need, and the cars, open", h) + " Print it then."
	}
	return ""
}
