package view

import (
	"math"
	"strings"

	"github.com/a-h/templ"

	"saltbush/internal/caution"
	"saltbush/internal/format"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// HikePlan is a computed plan as staff read it.
type HikePlan struct {
	Verdict ui.StampText // of VerdictStamp
	Reasons []string     // the most important first
	Instead []string     // what would change the verdict to go
	Changes []string     // what differs from the plan before
	// Unknown lists what the verdict does not take into account.
	Unknown []string
	Stale   string // why it no longer answers for the hike as it stands, "" where it does

	Time   ui.RangeText // on the trail, P50 to P90
	Return ui.RangeText // back at the trailhead, with the limit if any

	// Turn is when to turn around, or to be off a trail that ends elsewhere.
	Turn                                     format.Line
	Start, Expected, Watch, Call             string
	WatchNote                                string
	FirstLight, Sunrise, Sunset, LastLight   string
	WaterEach, WaterGroup, WaterBefore, Rate string
	Ceiling                                  string // how much is too much to drink
	FoodRate, FoodEach, FoodBefore           string
	// Such as "3 bottles of 1 L"; "" where there is nothing to say.
	Bottles, LoadRemark string
	Sizes               []format.Line // water of small and large bodies
	Refills             []string      // what is known of water on the way

	Window StartsText
	Points []PointTimes  // named places in the order of the walk
	Worst  []format.Line // the worst hour of the walk
	Short  []format.Line // the same walk turned back early, if worth offering
	Pace   []format.Line // the leader's card
	Others []OpinionText

	Official []format.Line // what the weather service says of the day

	Heat HeatTableText
	Day  templ.Component // drawing of the day

	Cautions []string
	Model    string // version of the model
	Made     string // "Sat 9 May, 12:04 by Ines Calder"
	From     string // the forecast it was computed from, in words
}

// StartsText is when the walk may start on its day.
type StartsText struct {
	Lines   []format.Line   // earliest, latest and best, or the least bad
	Limits  []string        // what limits the window on either side
	Drawing templ.Component // of every start
}

// PointTimes is when the group reaches a named place, and when it has to turn back there.
type PointTimes struct {
	Name, Along    string
	Expected, Late string
	Turn, Because  string // Turn is "" where no turn is told for the place
}

// OpinionText is the walking time by another published rule, for one person without breaks.
type OpinionText struct {
	Name, Moving, Difference string
	Differs                  bool // far from ours
}

// HeatTableText is the day's heat hour by hour on the open trail.
type HeatTableText struct {
	Temperature string // unit of every temperature in the table
	Peak        string // "WBGT 26.1 at 10:00, air 33 at 10:00"
	Limit       string // the WBGT limit for this work, with its unit
	Used        string // the same for people used to heat, "" where it is not known
	OffBy       string // when the open trail passes a heat limit, of WBGT or of the house, "" where it does not
	Rows        []HeatRow
}

// HeatRow is one hour: figures without units.
type HeatRow struct {
	At, Air, Humidity, Sun, WBGT, HeatIndex string
	Walk                                    bool // the group is out in this hour
	Over                                    bool // WBGT is over the limit
}

func (p HikePlan) times() []format.Line {
	return []format.Line{
		p.Turn,
		{
			Label: "Expected back", Value: p.Expected, Note: "Half of such parties are back by then.",
			Fact: format.FactExpected,
		},
		{
			Label: "Watch time", Value: p.Watch, Note: p.WatchNote,
			Fact: format.FactWatch,
		},
		{Label: "Call time", Value: p.Call, Note: "On-call calls for help.", Fact: format.FactCall},
	}
}

func (p HikePlan) points() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Place"}, {Label: "Along", Figure: true},
		{Label: "Expected", Figure: true}, {Label: "Late", Figure: true}, {Label: "Turn back by"}}}
	for _, t := range p.Points {
		l.Rows = append(l.Rows, []ui.Cell{{Text: t.Name}, {Text: t.Along}, {Text: t.Expected}, {Text: t.Late},
			{Text: ui.OrDash(t.Turn), Note: t.Because}})
	}
	return l
}

func (p HikePlan) others() ui.LedgerText {
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Rule"}, {Label: "Walking time", Figure: true},
		{Label: "Against ours", Figure: true}}}
	for _, o := range p.Others {
		c := ui.Cell{Text: o.Difference}
		if o.Differs {
			c.Note = "differs: look again"
		}
		l.Rows = append(l.Rows, []ui.Cell{{Text: o.Name}, {Text: o.Moving}, c})
	}
	return l
}

func (p HikePlan) sun() []format.Line {
	return []format.Line{
		{Label: "First light", Value: p.FirstLight}, {Label: "Sunrise", Value: p.Sunrise},
		{Label: "Sunset", Value: p.Sunset}, {Label: "Last light", Value: p.LastLight},
	}
}

func (p HikePlan) water() []ui.FigureText {
	each := ui.NewFigure("Carried by each person", p.WaterEach,
		strings.TrimSpace("For the late time, not the likely one. "+p.Bottles))
	each.Big = true
	return []ui.FigureText{
		each,
		ui.NewFigure("Group reserve", p.WaterGroup, "Carried by staff, beyond their own."),
		ui.NewFigure("Drunk before the start", p.WaterBefore, ""),
		ui.NewFigure("Drinking rate", p.Rate, "In small drinks, with salt and food; "+p.Ceiling+"."),
	}
}

func (p HikePlan) food() []ui.FigureText {
	return []ui.FigureText{ui.NewFigure("Carried by each person", p.FoodEach, ""),
		ui.NewFigure("Eaten on the way", p.FoodRate, ""), ui.NewFigure("Eaten before the start", p.FoodBefore, "")}
}

func (p HikePlan) made() []format.Line {
	return []format.Line{{Label: "Computed", Value: p.Made}, {Label: "From the forecast", Value: p.From},
		{Label: "Model", Value: p.Model}}
}

func (p HikePlan) cautions() []string {
	if len(p.Cautions) == 0 {
		return caution.All()
	}
	return p.Cautions
}

// Work writes the body's rate of work or heat: "410 W".
func Work(p unit.Power) string { return format.Amount(p.Watts(), 0, "W") }

// Stride writes the length of a step in both systems of units, because everybody reads the card:
// "66 cm (26 in)". A step of no length is unknown.
func Stride(l unit.Length) string {
	if l <= 0 {
		return format.Unknown
	}
	return format.Amount(100*l.Metres(), 0, "cm") + " (" + format.Amount(12*l.Feet(), 0, "in") + ")"
}

// ExactTemperature writes a temperature to a tenth with its unit: "27.5 \u00b0C".
func ExactTemperature(t unit.Temperature, sys format.System) string {
	if math.IsNaN(t.Celsius()) || math.IsInf(t.Celsius(), 0) {
		return format.Unknown
	}
	return format.Degrees(t, sys) + " " + format.TemperatureUnit(sys)
}

// Longer writes how far one time is from another: "12 % longer", "8 % shorter".
func Longer(p unit.Percent) string {
	switch {
	case math.IsNaN(float64(p)):
		return format.Unknown
	case math.Round(float64(p)) == 0:
		return "the same"
	case p < 0:
		return format.Percent(-p) + " shorter"
	}
	return format.Percent(p) + " longer"
}
