package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// writePlan prints a plan for people, in both systems of units where they differ.
func writePlan(w io.Writer, p plan.Plan) error {
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	line := func(label, format string, args ...any) {
		fmt.Fprintf(t, "%s\t%s\n", label, fmt.Sprintf(format, args...))
	}
	fmt.Fprintf(t, "%s\n", strings.ToUpper("verdict: "+string(p.Verdict.Decision)))
	for _, r := range p.Verdict.Reasons {
		fmt.Fprintf(t, "  - %s\n", r)
	}
	for _, r := range p.Verdict.Instead {
		fmt.Fprintf(t, "  > %s\n", r)
	}
	line("Trail", "%s (%s), up %s (%s), down %s (%s)",
		format.Length(p.Trail.Distance, format.Metric), format.Length(p.Trail.Distance, format.US),
		format.Height(p.Trail.Ascent, format.Metric), format.Height(p.Trail.Ascent, format.US),
		format.Height(p.Trail.Descent, format.Metric), format.Height(p.Trail.Descent, format.US))
	line("Difficulty", "%d, %s %s", p.Trail.Rating.Number, p.Trail.Rating.Class, p.Trail.Rating.Raised)
	line("Walking", "%s; nine in ten parties within %s (breaks %s)",
		format.Duration(p.Time.P50.Duration()), format.Duration(p.Time.P90.Duration()), format.Duration(p.Time.Breaks.Duration()))
	line("Light", "first light %s, sunrise %s, sunset %s, last light %s",
		clock(p.Sun.CivilDawn), clock(p.Sun.Sunrise), clock(p.Sun.Sunset), clock(p.Sun.CivilDusk))
	line("Official", "%s", officialText(p.Official))
	line("Heat", "WBGT up to %s (%s) at %s, limit for this work %s (used to heat %s); air up to %s (%s)",
		format.Temperature(p.Heat.PeakWBGT, format.Metric), format.Temperature(p.Heat.PeakWBGT, format.US), clock(p.Heat.PeakAt),
		format.Temperature(p.Heat.Limit, format.Metric), format.Temperature(p.Heat.ExposureLimit, format.Metric),
		format.Temperature(p.Heat.PeakAir, format.Metric), format.Temperature(p.Heat.PeakAir, format.US))
	line("Water", "carry %s (%s) each, about %.2f L an hour; group reserve %s; %s before the start",
		format.Volume(p.Water.Carry, format.Metric), format.Volume(p.Water.Carry, format.US), p.Water.Drink.LitresPerHour(),
		format.Volume(p.Water.Reserve, format.Metric), format.Volume(p.Water.BeforeStart, format.Metric))
	line("Bottles", "%s; the load is %.0f %% of the reference body. %s", p.Water.Bottles, float64(p.Water.Load.Share), p.Water.Load.Remark)
	for _, b := range p.Water.Sizes {
		line("Water at "+format.Mass(b.Body, format.Metric), "%s (%s), %.2f L an hour", format.Volume(b.Carry, format.Metric), format.Volume(b.Carry, format.US), b.Drink.LitresPerHour())
	}
	for _, r := range p.Water.Refills {
		line("Refill "+r.Name, "%s", r.Note)
	}
	line("Food", "%.0f to %.0f kcal an hour, carry %.0f kcal; %.0f kcal before the start",
		p.Food.Low.KilocaloriesPerHour(), p.Food.High.KilocaloriesPerHour(), p.Food.Carry.Kilocalories(), p.Food.BeforeStart.Kilocalories())
	if !p.Turnaround.At.IsZero() {
		line("Turn by", "%s, because of %s", clock(p.Turnaround.At), p.Turnaround.Because)
	}
	line("Off the trail", "by %s, because of %s", clock(p.Turnaround.OffTrail), orNothing(p.Turnaround.OffTrailBecause))
	line("Back", "expected %s, watch time %s, call time %s", clock(p.Return.Expected), clock(p.Return.Watch), clock(p.Return.Call))
	line("Start", "earliest %s, latest %s, best %s", clock(p.Window.Earliest), clock(p.Window.Latest), clock(p.Window.Best))
	for _, l := range p.Window.Limits {
		fmt.Fprintf(t, "  - %s\n", l)
	}
	if o := p.Short; o != nil {
		line("Short option", "%s, %s, carry %s", format.Length(o.Distance, format.Metric), format.DurationRange(o.P50.Duration(), o.P90.Duration()), format.Volume(o.Carry, format.Metric))
	}
	line("Pace", "%d steps a minute; stride %s level, %s uphill, %s downhill", p.Time.Pace.Beat,
		stride(p.Time.Pace.Level), stride(p.Time.Pace.Up), stride(p.Time.Pace.Down))
	for _, pt := range p.Turnaround.Points {
		line("Turn at "+pt.Name, "by %s, because of %s", clock(pt.At), orNothing(pt.Because))
	}
	writeHours(t, p.Heat.Hours)
	for _, n := range p.Trail.Notes {
		fmt.Fprintf(t, "Track: %s\n", n)
	}
	for _, c := range p.Cautions {
		fmt.Fprintf(t, "! %s\n", c)
	}
	return t.Flush()
}

// officialText says what was looked up; what was not is not known.
func officialText(o plan.Official) string {
	level, warning, storm, air := format.Unknown, format.Unknown, format.Unknown, format.Unknown
	if o.HeatLevel != nil {
		level = o.HeatLevel.String()
	}
	if o.Warning != "" {
		warning = strings.TrimSpace(string(o.Warning) + " " + o.WarningText)
	}
	if o.Storm != nil {
		storm = format.Percent(o.Storm.Percent())
	}
	if o.AirQuality != nil {
		air = fmt.Sprint(int(*o.AirQuality))
	}
	return fmt.Sprintf("heat level %s; warning %s; chance of storm or flood %s; air quality index %s", level, warning, storm, air)
}

func orNothing(because string) string {
	if because == "" {
		return "nothing: neither light nor heat sets an end"
	}
	return because
}

func stride(l unit.Length) string {
	return fmt.Sprintf("%.0f cm (%.0f in)", float64(l/unit.Centimetre), float64(l/unit.Inch))
}

func writeHours(t io.Writer, hours []plan.Hour) {
	fmt.Fprintln(t, "hour\tair C\thumidity %\tsun W/m2\tWBGT C\theat index C (never decided on)")
	for _, h := range hours {
		fmt.Fprintf(t, "%s\t%.1f\t%.0f\t%.0f\t%.1f\t%.1f\n", clock(h.At), h.Air.Celsius(), float64(h.Humidity),
			h.Solar.WattsPerSquareMetre(), h.WBGT.Celsius(), h.HeatIndex.Celsius())
	}
}

func clock(t plan.Instant) string {
	if t.IsZero() {
		return "never"
	}
	return t.Format("15:04")
}
