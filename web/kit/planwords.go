package kit

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/web/ui"
)

// MeetingLines says where and when to meet, and by when the party turns.
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

// turnLine says by when the party turns. On an out-and-back trail the time for the far point is
// safe for every place before it. On other trails each place has its own time, and the line says by
// when everybody is off the trail.
func turnLine(t hike.Data) format.Line {
	zone := t.Zone()
	if t.Trail.Profile.Shape == track.OutAndBack {
		line := TurnLine(t.Clocks, zone)
		if !t.Clocks.Turn.IsZero() {
			line.Note = "wherever we are then"
		}
		return line
	}
	if off := t.Clocks.Off; !off.IsZero() {
		return format.FactLine("Off the trail by", format.FactOff, off, zone).With(t.Clocks.OffBecause +
			"; when to turn back depends on the place, and the leader has the times")
	}
	margin := t.Stored.Inputs.Rules().DaylightMargin
	return format.Line{Label: "Off the trail", Value: "by " + format.Clock(t.Plan.Sun.Sunset.Add(-margin), zone),
		Note: format.Duration(margin) +
			" before sunset; when to turn back depends on the place, and the leader has the times"}
}

// PlacesNote says how many places are left, or how many people wait.
func PlacesNote(t hike.Data) string {
	free := t.Hike.Places - t.Count(signup.Confirmed) - t.Kept()
	if waiting := t.Count(signup.Waiting); free <= 0 || waiting > 0 {
		return fmt.Sprintf("All %d places are taken; %s before you.",
			t.Hike.Places, format.Count(waiting, "person waits", "people wait"))
	}
	return fmt.Sprintf("%d of %d places left.", free, t.Hike.Places)
}

// TimeRange draws the time on the trail, from the likely to the late one.
func TimeRange(p *plan.Plan) ui.RangeText {
	r := ui.NewDurationRange("On the trail", p.Time.P50.Duration(), p.Time.P90.Duration())
	r.FromNote, r.ToNote = "half of such parties need no longer", "nine in ten need no longer"
	return r
}

// BackRange draws the time of return with the heat limit, or else with sunset.
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
	r := ui.NewClockRange(label, t.Clocks.Start, t.Clocks.Expected, t.Clocks.Latest, limit, words,
		zone)
	r.FromFact, r.ToFact = format.FactExpected, format.FactLatest
	return r
}

// Family says what to tell somebody at home.
func Family(t hike.Data, zone *time.Location) string {
	text := fmt.Sprintf("Tell somebody at home: back between %s and %s.",
		format.Clock(t.Clocks.Expected, zone), format.Clock(t.Clocks.Latest, zone))
	if t.Hike.OnCall.Name == "" {
		return text + " Who is on call is not named yet."
	}
	return text + " A person is on call for this hike and acts by the clock; their number is in your confirmation."
}

// WaterFigures are the amounts of water that each person needs.
func WaterFigures(p *plan.Plan, u format.System) []ui.FigureText {
	bring := ui.NewFigure("Bring each", format.Volume(p.Water.Carry, u), supply.Bottles(p.Water.Carry))
	bring.Big = true
	return []ui.FigureText{
		bring,
		ui.NewFigure("Before the start", format.Volume(p.Water.BeforeStart, u),
			"at breakfast and on the road, beyond what you bring"),
		ui.NewFigure("Drink", format.Flow(p.Water.Drink, u),
			"in small drinks; "+DrinkCeiling(u)),
	}
}

// DrinkCeiling says how much is too much to drink.
func DrinkCeiling(u format.System) string {
	return "never more than " + format.Flow(supply.MaxDrinking, u)
}

// WaterWhy says how the amount to bring is worked out.
func WaterWhy(p *plan.Plan, u format.System) string {
	return fmt.Sprintf("%s for %s, the time that nine groups in ten stay under, rounded up to half litres. The group "+
		"carries a reserve for trouble; it is never used to start with. Eat something salty each time you drink.",
		format.Flow(p.Water.Drink, u), format.Duration(p.Time.P90.Duration()))
}

// WatchNote says what happens at the watch time, and where that is before the latest return, why.
func WatchNote(c party.Clocks, zone *time.Location) string {
	switch {
	case c.WatchBecause != "":
		return fmt.Sprintf("on-call starts asking; earlier than the latest return (%s) because of %s",
			format.Clock(c.Latest, zone), c.WatchBecause)
	case c.Watch.Equal(c.Latest):
		return "on-call starts asking; nine in ten are back by then"
	}
	return "on-call starts asking"
}

// InWalk reports whether the party is on the trail in an hour, by the late time.
func InWalk(c party.Clocks, h plan.Hour) bool {
	return h.At.Add(time.Hour).After(c.Start) && h.At.Before(c.Latest)
}

// Stale says why a plan no longer fits the hike, "" where it does.
func Stale(t hike.Data) string {
	in := t.Stored.Inputs
	switch {
	case !in.Start.Equal(t.Hike.Start):
		return "The start was moved since. Type the forecast again for a new plan."
	case in.Trail != t.Hike.Trail:
		return "The trail was changed since. Type the forecast again for a new plan."
	case in.Turn != t.Hike.Turn.Along:
		return "The place where it turns back was changed since. Type the forecast again for a new plan."
	case in.Participants != t.Hike.Places || in.Pace != string(t.Hike.Pace):
		return "Party or pace were changed since. Type the forecast again for a new plan."
	}
	return ""
}

// Bottles says which bottles to bring. They are sold by the liter, so both systems of units say
// liters.
func Bottles(w plan.Water) string {
	if w.Bottles == "" {
		return ""
	}
	return "Bring " + w.Bottles + "."
}

// Refills says where water was seen on the way, and what carrying none of it would mean.
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

// OfficialLines says what was looked up. What was not looked up is unknown.
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

// TurnLine is the time to turn around, or on a one-way trail the time to be off it.
func TurnLine(c party.Clocks, zone *time.Location) format.Line {
	switch {
	case !c.Turn.IsZero():
		return format.FactLine("Turn around by", format.FactTurn, c.Turn, zone).With(TurnNote(c, c.TurnBecause))
	case c.TurnBecause != "":
		return format.Line{Label: "Turn around by", Value: "do not start this way", Note: c.TurnBecause}
	case !c.Off.IsZero():
		return format.FactLine("Off the trail by", format.FactOff, c.Off, zone).With(c.OffBecause)
	}
	return format.Line{Label: "Turn around by", Note: TurnNote(c, "")}
}

// TurnLines are the time to turn around and the time to be off the trail.
func TurnLines(c party.Clocks, zone *time.Location) []format.Line {
	lines := []format.Line{TurnLine(c, zone)}
	if !c.Off.IsZero() && lines[0].Fact != format.FactOff {
		lines = append(lines, format.FactLine("Off the trail by", format.FactOff, c.Off, zone).With(c.OffBecause))
	}
	return lines
}

// TurnNote says where a shortened hike turns, before why it turns when it does.
func TurnNote(c party.Clocks, because string) string {
	switch {
	case c.TurnAt == "":
		return because
	case because == "":
		return "at " + c.TurnAt
	}
	return "at " + c.TurnAt + "; " + because
}

// ClockOr writes a time, "" if it is not known.
func ClockOr(t time.Time, zone *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return format.Clock(t, zone)
}
