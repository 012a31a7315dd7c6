package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// planText writes lines of a label and a text.
type planText struct{ *tabwriter.Writer }

func (t planText) line(label, format string, args ...any) {
	fmt.Fprintf(t, "%s\t%s\n", label, fmt.Sprintf(format, args...))
}

// list writes one line for each text, after a mark.
func (t planText) list(mark string, texts []string) {
	for _, s := range texts {
		fmt.Fprintf(t, "%s %s\n", mark, s)
	}
}

// writePlan prints a plan for people, in both systems of units where they differ.
func writePlan(w io.Writer, p plan.Plan) error {
	t := planText{tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)}
	fmt.Fprintf(t, "%s\n", strings.ToUpper("verdict: "+string(p.Verdict.Decision)))
	t.list("  -", p.Verdict.Reasons)
	t.list("  >", p.Verdict.Instead)
	t.walk(p)
	t.heat(p)
	t.carry(p)
	t.times(p)
	t.pace(p)
	t.hours(p.Heat.Hours)
	t.list("Track:", p.Trail.Notes)
	t.list("!", p.Cautions)
	return t.Flush()
}

func (t planText) walk(p plan.Plan) {
	t.line("Trail", "%s, up %s, down %s",
		format.Both(format.Length, p.Trail.Distance),
		format.Both(format.Height, p.Trail.Ascent),
		format.Both(format.Height, p.Trail.Descent))
	t.line("Difficulty", "%d, %s %s", p.Trail.Rating.Number, p.Trail.Rating.Class, p.Trail.Rating.Raised)
	t.line("Walking", "%s; nine in ten parties within %s (breaks %s)",
		format.Duration(p.Time.P50.Duration()),
		format.Duration(p.Time.P90.Duration()),
		format.Duration(p.Time.Breaks.Duration()))
	t.line("Light", "first light %s, sunrise %s, sunset %s, last light %s",
		clock(p.Sun.CivilDawn), clock(p.Sun.Sunrise), clock(p.Sun.Sunset), clock(p.Sun.CivilDusk))
	t.line("Official", "%s", officialText(p.Official))
}

func (t planText) heat(p plan.Plan) {
	t.line("Heat", "WBGT up to %s at %s, limit for this work %s (used to heat %s); air up to %s",
		format.Both(format.Temperature, p.Heat.PeakWBGT),
		clock(p.Heat.PeakAt),
		format.Temperature(p.Heat.Limit, format.Metric),
		format.Temperature(p.Heat.ExposureLimit, format.Metric),
		format.Both(format.Temperature, p.Heat.PeakAir))
}

func (t planText) carry(p plan.Plan) {
	t.line("Water", "carry %s each, about %.2f L an hour; group reserve %s; %s before the start",
		format.Both(format.Volume, p.Water.Carry),
		p.Water.Drink.LitresPerHour(),
		format.Volume(p.Water.Reserve, format.Metric),
		format.Volume(p.Water.BeforeStart, format.Metric))
	t.line("Bottles", "%s; the load is %s of the reference body. %s",
		p.Water.Bottles, format.Percent(p.Water.Load.Share), p.Water.Load.Remark)
	for _, b := range p.Water.Sizes {
		t.line("Water at "+format.Mass(b.Body, format.Metric), "%s, %.2f L an hour",
			format.Both(format.Volume, b.Carry), b.Drink.LitresPerHour())
	}
	for _, r := range p.Water.Refills {
		t.line("Refill "+r.Name, "%s", r.Note)
	}
	t.line("Food", "%.0f to %.0f kcal an hour, carry %.0f kcal; %.0f kcal before the start",
		p.Food.Low.KilocaloriesPerHour(),
		p.Food.High.KilocaloriesPerHour(),
		p.Food.Carry.Kilocalories(),
		p.Food.BeforeStart.Kilocalories())
}

func (t planText) times(p plan.Plan) {
	if !p.Turnaround.At.IsZero() {
		t.line("Turn by", "%s, because of %s", clock(p.Turnaround.At), p.Turnaround.Because)
	}
	t.line("Off the trail", "by %s, because of %s", clock(p.Turnaround.OffTrail),
		orNothing(p.Turnaround.OffTrailBecause))
	if r := p.Return; r != nil {
		t.line("Back", "expected %s, latest %s; watch time %s, call time %s",
			clock(r.Expected), clock(r.Latest), clock(r.Watch), clock(r.Call))
	}
	t.line("Start", "earliest %s, latest %s, best %s", clock(p.Window.Earliest), clock(p.Window.Latest),
		clock(p.Window.Best))
	t.list("  -", p.Window.Limits)
	if o := p.Short; o != nil {
		t.line("Short option", "%s, %s, carry %s",
			format.Length(o.Distance, format.Metric),
			format.DurationRange(o.P50.Duration(), o.P90.Duration()),
			format.Volume(o.Carry, format.Metric))
	}
}

func (t planText) pace(p plan.Plan) {
	t.line("Pace", "%d steps a minute; stride %s level, %s uphill, %s downhill",
		p.Time.Pace.Beat, stride(p.Time.Pace.Level), stride(p.Time.Pace.Up), stride(p.Time.Pace.Down))
	for _, pt := range p.Turnaround.Points {
		t.line("Turn at "+pt.Name, "by %s, because of %s", clock(pt.At), orNothing(pt.Because))
	}
}

// officialText lists what was looked up, with format.Unknown for what was not.
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
	return fmt.Sprintf("heat level %s; warning %s; chance of storm or flood %s; air quality index %s",
		level, warning, storm, air)
}

func orNothing(because string) string {
	return cmp.Or(because, "nothing: neither light nor heat sets an end")
}

func stride(l unit.Length) string {
	return fmt.Sprintf("%.0f cm (%.0f in)", float64(l/unit.Centimetre), float64(l/unit.Inch))
}

func (t planText) hours(hours []plan.Hour) {
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
	return format.Clock(t.Time, t.Location())
}
