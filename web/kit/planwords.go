package kit

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/web/ui"
)

func MeetingLines(t hike.Data) []format.Line {
	zone := t.Zone()
	at := t.Trail.Profile.SampleAt(0).At
	lines := []format.Line{
		{Label: "Meet", Value: format.Clock(t.Hike.Meet, zone) + ", " + format.Day(t.Hike.Meet, zone)},
		{Label: "Leave", Value: format.Clock(t.Hike.Start, zone), Note: graceWords(t)},
		{Label: "Trailhead", Value: format.Position(at),
			URL: fmt.Sprintf("geo:%.5f,%.5f", at.Lat.Degrees(), at.Lon.Degrees()), Note: t.Trail.Meeting},
		{Label: "Phone signal", Value: t.Trail.Signal},
	}
	if t.Plan != nil {
		lines = append(lines, turnLine(t))
	}
	return lines
}

func graceWords(t hike.Data) string {
	wait := t.Hike.Rules().Grace
	if wait == 0 {
		return "On time: nobody walks alone to catch up."
	}
	return "We wait " + format.Duration(wait) + " for the late, then go. Nobody walks alone to catch up."
}

// turnLine is the time by which a party turns. Only where it comes back the way it went is
// the time for the far point safe everywhere before it; elsewhere each place has its own,
// and what holds for all is when to be off the trail.
func turnLine(t hike.Data) format.Line {
	zone := t.Zone()
	if t.Trail.Profile.Shape == track.OutAndBack {
		return format.Line{Label: "Turn round", Value: "by " + format.Clock(t.Plan.Turnaround.At.Time, zone),
			Note: "wherever we are then"}
	}
	if off := t.Plan.Turnaround.OffTrail.Time; !off.IsZero() {
		return format.Line{Label: "Off the trail", Value: "by " + format.Clock(off, zone),
			Note: t.Plan.Turnaround.OffTrailBecause +
				"; when to turn back depends on the place, and the leader has the times"}
	}
	margin := t.Stored.Inputs.Rules().DaylightMargin
	return format.Line{Label: "Off the trail", Value: "by " + format.Clock(t.Plan.Sun.Sunset.Add(-margin), zone),
		Note: format.Duration(margin) +
			" before sunset; when to turn back depends on the place, and the leader has the times"}
}

func PlacesNote(t hike.Data) string {
	free := t.Hike.Places - t.Count(signup.Confirmed) - t.Kept()
	if waiting := t.Count(signup.Waiting); free <= 0 || waiting > 0 {
		return fmt.Sprintf("All %d places are taken; %s before you.",
			t.Hike.Places, format.Count(waiting, "person waits", "people wait"))
	}
	return fmt.Sprintf("%d of %d places left.", free, t.Hike.Places)
}

func TimeRange(p *plan.Plan) ui.RangeText {
	r := ui.NewDurationRange("On the trail", p.Time.P50.Duration(), p.Time.P90.Duration())
	r.FromNote, r.ToNote = "half of such parties need no longer", "nine in ten need no longer"
	return r
}

func BackRange(t hike.Data, zone *time.Location) ui.RangeText {
	limit, words := t.Plan.Heat.OffBy.Time, "heat limit"
	if sunset := t.Plan.Sun.Sunset.Time; limit.IsZero() && !sunset.IsZero() && sunset.Sub(t.Hike.Start) < 12*time.Hour {
		limit, words = sunset, "sunset"
	}
	if !limit.IsZero() {
		words += " " + format.Clock(limit, zone)
	}
	label := "Back at the trailhead"
	if t.Trail.Profile.Shape == track.OneWay {
		label = "Off the trail, at its far end"
	}
	return ui.NewClockRange(label, t.Hike.Start, t.Plan.Return.Expected.Time, t.Plan.Return.Watch.Time, limit, words,
		zone)
}

func Family(t hike.Data, zone *time.Location) string {
	text := fmt.Sprintf("Tell somebody at home: back between %s and %s.",
		format.Clock(t.Plan.Return.Expected.Time, zone), format.Clock(t.Plan.Return.Watch.Time, zone))
	if t.Hike.OnCall.Name == "" {
		return text + " Who is on call is not named yet."
	}
	return text + " A person is on call for this hike and acts by the clock; their number is in your confirmation."
}

func WaterFigures(p *plan.Plan, u format.System) []ui.FigureText {
	bring := ui.NewFigure("Bring each", format.Volume(p.Water.Carry, u), supply.Bottles(p.Water.Carry))
	bring.Big = true
	return []ui.FigureText{
		bring,
		ui.NewFigure("Before the start", format.Volume(p.Water.BeforeStart, u),
			"at breakfast and on the road, beyond what you bring"),
		ui.NewFigure("Drink", format.Flow(p.Water.Drink, u),
			"in small drinks; never more than "+format.Flow(supply.MaxDrinking, u)),
	}
}

func WaterWhy(p *plan.Plan, u format.System) string {
	return fmt.Sprintf("%s for %s, the time that nine groups in ten stay under, rounded up to half litres. The group "+
		"carries a reserve for trouble; it is never used to start with. Eat something salty each time you drink.",
		format.Flow(p.Water.Drink, u), format.Duration(p.Time.P90.Duration()))
}

func InWalk(p *plan.Plan, h plan.Hour) bool {
	start := p.Return.Watch.Add(-p.Time.P90.Duration())
	return h.At.Add(time.Hour).After(start) && h.At.Before(p.Return.Watch.Time)
}

// Stale says why a plan no longer answers for the hike as it stands.
func Stale(t hike.Data) string {
	in := t.Stored.Inputs
	switch {
	case !in.Start.Equal(t.Hike.Start):
		return "The start was moved since. Type the forecast again for a new plan."
	case in.Trail != t.Hike.Trail:
		return "The trail was changed since. Type the forecast again for a new plan."
	case in.Participants != t.Hike.Places || in.Pace != string(t.Hike.Pace):
		return "Party or pace were changed since. Type the forecast again for a new plan."
	}
	return ""
}

// Bottles are told in litres in both systems, as they are sold.
func Bottles(w plan.Water) string {
	if w.Bottles == "" {
		return ""
	}
	return "Bring " + w.Bottles + "."
}

func Refills(w plan.Water, u format.System) []string {
	var lines []string
	for _, r := range w.Refills {
		text := r.Name + ", " + format.Length(r.Along, u) + " from the start. " + r.Note
		if r.Counted {
			text += " Leave it with " + format.Volume(r.Carry, u) + " each."
		}
		lines = append(lines, text)
	}
	if w.Carry < w.WithoutRefills {
		lines = append(lines, "Without any refill each person carries "+format.Volume(w.WithoutRefills, u)+".")
	}
	return lines
}

// OfficialLines say what was looked up; what was not is not known.
func OfficialLines(o plan.Official) []format.Line {
	lines := []format.Line{{Label: "Official heat level"}, {Label: "Warning in force"},
		{Label: "Chance of storm or flood"}, {Label: "Air quality index"}}
	if o.HeatLevel != nil {
		lines[0].Value = o.HeatLevel.String()
	}
	switch o.Warning {
	case plan.WarningInForce:
		lines[1].Value, lines[1].Note = "yes", o.WarningText
	case plan.NoWarning:
		lines[1].Value = "no"
	}
	if o.Storm != nil {
		lines[2].Value = format.Percent(o.Storm.Percent())
	}
	if o.AirQuality != nil {
		lines[3].Value = fmt.Sprint(int(*o.AirQuality))
	}
	return lines
}

// TurnClock is empty on a way that ends elsewhere: there is no turning on it.
func TurnClock(t plan.Turnaround, zone *time.Location) string {
	if t.At.IsZero() {
		return ""
	}
	return format.Clock(t.At.Time, zone)
}

func TurnOff(t plan.Turnaround, zone *time.Location) string {
	if t.OffTrail.IsZero() {
		return ""
	}
	return format.Clock(t.OffTrail.Time, zone)
}
