package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/unit"
)

// Figure explains one figure of a plan or a year. Name is its path in the JSON, with [] for the lines of a list. Value
// is the figure, or for a list the number of values and their range.
type Figure struct{ Name, Value, Formula, Inputs, Source string }

// figure declares how one figure is made. The declarations stand beside the functions that compute the figures;
// planFigures and yearFigures collect them. A test evaluates the simple formulas against computed plans.
type figure struct {
	key     string // path in the JSON
	formula string
	inputs  string // {name} stands for one of namedInputs
	source  string
}

// under puts figures of a part under its key.
func under(part string, figures []figure) []figure {
	for i := range figures {
		figures[i].key = part + "." + figures[i].key
	}
	return figures
}

// Sources that are no publication.
const (
	byPractice  = "common practice of the trade, no source"
	byJudgement = "house judgement"
)

// Explain says of every figure of a plan how it was made, from what, and from which source. The input must be the one
// that the plan was computed from.
func Explain(in Input, p Plan) []Figure {
	return explain(planFigures(), leavesOf(p), namedInputs(in, p))
}

// ExplainYear says the same of every figure of a year.
func ExplainYear(in Input, y YearPlan) []Figure {
	return explain(yearFigures(), leavesOf(y), namedInputs(in, Plan{}))
}

func explain(figures []figure, values map[string][]any, inputs []namedInput) []Figure {
	var pairs []string
	for _, i := range inputs {
		pairs = append(pairs, "{"+i.name+"}", i.text)
	}
	fill := strings.NewReplacer(pairs...)
	var list []Figure
	for _, f := range figures {
		if vs, known := values[f.key]; known { // else a list without lines, or an option that is not there
			list = append(list, Figure{Name: f.key, Value: summary(vs), Formula: f.formula,
				Inputs: fill.Replace(f.inputs), Source: f.source})
		}
	}
	return list
}

// namedInput is something that figures are made from. Key is set where it is itself a figure of the plan.
type namedInput struct{ name, key, text string }

func namedInputs(in Input, p Plan) []namedInput {
	if in.Turn > 0 {
		in = in.turned()
	}
	r := in.Rules
	return []namedInput{
		{"weather", "", weatherText(in.Forecast)},
		{"way", "", fmt.Sprintf("%.0f m with %.0f m up and %.0f m down on %s ground", in.Profile.Length.Metres(),
			in.Profile.Ascent.Metres(), in.Profile.Descent.Metres(), in.Surface)},
		{"party", "", fmt.Sprintf("%d participants, %d staff, pace %s, group factor %.0f %%", in.Party.Participants,
			in.Party.Staff, in.Party.Pace, float64(in.Party.GroupFactor()))},
		{"start", "", in.Start.Format(time.RFC3339)},
		{"body", "", fmt.Sprintf("%.0f kg and a load of %.0f kg", r.BodyMass.Kilograms(), r.Load.Kilograms())},
		{"used", "", usedText(in.Acclimatized)},
		{"margin", "", span(r.DaylightMargin)},
		{"factor", "", fmt.Sprintf("%.2f", float64(r.ReturnFactor))},
		{"ladder", "", fmt.Sprintf("house ladder %s, %s, %s", degrees(r.Ladder.ShorterFrom),
			degrees(r.Ladder.ShortOnlyFrom), degrees(r.Ladder.CancelFrom))},
		{"work", "heat.worst_hour.work_w", fmt.Sprintf("%.0f W", p.Heat.WorstHour.Work.Watts())},
		{"p50", "time.p50_s", span(p.Time.P50.Duration())},
		{"p90", "time.p90_s", span(p.Time.P90.Duration())},
		{"peak", "heat.peak_wbgt_c", fmt.Sprintf("%.1f C", p.Heat.PeakWBGT.Celsius())},
		{"rate", "water.drink_l_per_h", fmt.Sprintf("%.2f L/h", p.Water.Drink.LitresPerHour())},
	}
}

func weatherText(f Forecast) string {
	text := fmt.Sprintf("low %.1f C, high %.1f C, dew point %.1f C, wind %.1f m/s at 10 m, cloud %.0f %%",
		f.Low.Celsius(), f.High.Celsius(), f.DewPoint.Celsius(), f.Wind.MetresPerSecond(), float64(f.Cloud.Percent()))
	if n := len(f.Hourly); n > 0 {
		text += fmt.Sprintf(", and %d hourly lines from %s", n, clock(f.Hourly[0].At))
	}
	if f.Official.Strict() {
		text += ", official: " + f.Official.Said()
	}
	return text
}

func usedText(acclimatized bool) string {
	if acclimatized {
		return "acclimatised people"
	}
	return "people not known to be used to heat"
}

func degrees(t unit.Temperature) string { return fmt.Sprintf("%.0f F", t.Fahrenheit()) }

// leavesOf returns the values of a plan or a year by path. The lines of a list share a path.
func leavesOf(p any) map[string][]any {
	b, err := json.Marshal(p)
	if err != nil {
		return nil // a computed plan always has a JSON form
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var tree any
	if err := d.Decode(&tree); err != nil {
		return nil
	}
	values := map[string][]any{}
	gatherLeaves("", tree, values)
	return values
}

func gatherLeaves(path string, node any, into map[string][]any) {
	switch v := node.(type) {
	case map[string]any:
		for key, child := range v {
			gatherLeaves(strings.TrimPrefix(path+"."+key, "."), child, into)
		}
	case []any:
		for _, child := range v {
			gatherLeaves(path+"[]", child, into)
		}
	default:
		into[path] = append(into[path], v)
	}
}

// summary writes one value as it is, and several as their number and range.
func summary(values []any) string {
	if len(values) == 1 {
		return word(values[0])
	}
	numbers := make([]float64, 0, len(values))
	for _, v := range values {
		if n, ok := v.(json.Number); ok {
			f, _ := n.Float64()
			numbers = append(numbers, f)
		}
	}
	if len(numbers) == len(values) {
		number := func(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
		return fmt.Sprintf("%d values, %s to %s", len(values), number(slices.Min(numbers)), number(slices.Max(numbers)))
	}
	return fmt.Sprintf("%d values, %s to %s", len(values), word(values[0]), word(values[len(values)-1]))
}

func word(v any) string {
	if v == nil {
		return "none"
	}
	return fmt.Sprint(v)
}
