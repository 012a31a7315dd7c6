package view

import "github.com/a-h/templ"

// HikePlan is a computed plan as staff read it.
type HikePlan struct {
	Verdict StampText // of VerdictStamp
	Reasons []string  // the weightiest first
	Changes []string  // what differs from the plan before
	Stale   string    // why it no longer answers for the hike as it stands, "" where it does

	Time   RangeText // on the trail, P50 to P90
	Return RangeText // back at the trailhead, with the limit if there is one

	Turnaround, Because                      string
	Start, Expected, Watch, Call             string
	FirstLight, Sunrise, Sunset, LastLight   string
	WaterEach, WaterGroup, WaterBefore, Rate string
	FoodRate, FoodEach, FoodBefore           string

	Heat HeatTableText
	Day  templ.Component // drawing of the day

	Cautions []string
	Model    string // version of the model
	Made     string // "Sat 9 May, 12:04 by Ines Calder"
	From     string // the forecast it was computed from, in words
}

// HeatTableText is the day's air hour by hour on the open trail.
type HeatTableText struct {
	Temperature string // unit of every temperature in the table
	Peak        string // "WBGT 26.1 at 10:00, air 33 at 10:00"
	Limit       string // the WBGT limit for this work, with its unit
	OffBy       string // when the open trail passes a heat limit, of WBGT or of the house, "" where it does not
	Rows        []HeatRow
}

// HeatRow is one hour: figures without units.
type HeatRow struct {
	At, Air, Humidity, Sun, WBGT, HeatIndex string
	Walk                                    bool // the party is out in this hour
	Over                                    bool // WBGT is over the limit
}

func (p HikePlan) times() []Line {
	return []Line{
		{Label: "Turn around by", Value: p.Turnaround, Note: p.Because},
		{Label: "Expected back", Value: p.Expected, Note: "Half of such parties are back by then."},
		{Label: "Watch time", Value: p.Watch, Note: "Nine in ten are back. On-call begins to ask."},
		{Label: "Call time", Value: p.Call, Note: "On-call calls for help."},
	}
}

func (p HikePlan) sun() []Line {
	return []Line{
		{Label: "First light", Value: p.FirstLight}, {Label: "Sunrise", Value: p.Sunrise},
		{Label: "Sunset", Value: p.Sunset}, {Label: "Last light", Value: p.LastLight},
	}
}

func (p HikePlan) water() []FigureText {
	each := blank("Carried by each person", p.WaterEach, "For the late time, not the likely one.")
	each.Big = true
	return []FigureText{
		each,
		blank("Group reserve", p.WaterGroup, "Carried by staff, beyond their own."),
		blank("Drunk before the start", p.WaterBefore, ""),
		blank("Drinking rate", p.Rate, "In small drinks, with salt and food."),
	}
}

func (p HikePlan) food() []FigureText {
	return []FigureText{blank("Carried by each person", p.FoodEach, ""), blank("Eaten on the way", p.FoodRate, ""), blank("Eaten before the start", p.FoodBefore, "")}
}

func (p HikePlan) made() []Line {
	return []Line{{Label: "Computed", Value: p.Made}, {Label: "From the forecast", Value: p.From}, {Label: "Model", Value: p.Model}}
}

func (p HikePlan) cautions() []string {
	if len(p.Cautions) == 0 {
		return Cautions()
	}
	return p.Cautions
}

// ForecastFields are the questions about the day's weather.
type ForecastFields struct{ Unit, Low, High, DewPoint, Humidity, Wind, WindUnit, Cloud Field }

// NewForecastFields asks for a forecast in the viewer's units.
func NewForecastFields(a Answers, sys System) ForecastFields {
	us := sys == US
	return ForecastFields{
		Unit: a.Asked(Field{Name: "temperature_unit", Label: "Temperatures in", Short: true, Options: []Option{
			{Value: "C", Label: "degrees C", Selected: !us}, {Value: "F", Label: "degrees F", Selected: us}}}),
		Low:      a.Asked(Field{Name: "low", Label: "Low of the day", Short: true}),
		High:     a.Asked(Field{Name: "high", Label: "High of the day", Short: true}),
		DewPoint: a.Asked(Field{Name: "dew_point", Label: "Dew point", Short: true, Optional: true}),
		Humidity: a.Asked(Field{Name: "humidity", Label: "Humidity at the high", Short: true, Optional: true, Unit: "%"}),
		Wind:     a.Asked(Field{Name: "wind", Label: "Wind by day", Short: true}),
		WindUnit: a.Asked(Field{Name: "wind_unit", Label: "Wind in", Short: true, Options: []Option{
			{Value: "km/h", Label: "km/h", Selected: !us}, {Value: "mph", Label: "mph", Selected: us}, {Value: "m/s", Label: "m/s"}, {Value: "kn", Label: "knots"}}}),
		Cloud: a.Asked(Field{Name: "cloud", Label: "Sky covered by cloud", Short: true, Unit: "%"}),
	}
}

// All lists the questions for the head of the form.
func (f ForecastFields) All() []Field {
	return []Field{f.Unit, f.Low, f.High, f.DewPoint, f.Humidity, f.Wind, f.WindUnit, f.Cloud}
}
