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

// Figure says where one figure of a plan comes from. Name is its path in the plan's JSON,
// with [] for the lines of a list; Value is what the plan says, or for a list how many
// lines there are and from what to what.
type Figure struct {
	Name    string `json:"name"`
	Value   string `json:"value"`
	Formula string `json:"formula"`
	Inputs  string `json:"inputs"`
	Source  string `json:"source"`
}

// Explain tells of every figure of a plan how it was made, from what, and on whose word.
// The input is the one that the plan was computed from.
func Explain(in Input, p Plan) []Figure {
	return explained(explanations(), leavesOf(p), inputWords(in, p))
}

func explained(all []explanation, values map[string][]any, fill *strings.Replacer) []Figure {
	var figures []Figure
	for _, e := range all {
		vs, known := values[e.name]
		if !known {
			continue // a list without lines, or an option that is not there
		}
		figures = append(figures, Figure{Name: e.name, Value: summary(vs), Formula: e.formula,
			Inputs: fill.Replace(e.inputs), Source: e.source})
	}
	return figures
}

// explanation is a Figure before it knows its plan. Inputs hold words in braces for what a
// plan fills in.
type explanation struct{ name, formula, inputs, source string }

// inputWords fill the braces of explanations.
func inputWords(in Input, p Plan) *strings.Replacer {
	f := in.Forecast
	weather := fmt.Sprintf("low %.1f C, high %.1f C, dew point %.1f C, wind %.1f m/s at 10 m, cloud %.0f %%",
		f.Low.Celsius(), f.High.Celsius(), f.DewPoint.Celsius(), f.Wind.MetresPerSecond(), float64(f.Cloud.Percent()))
	if n := len(f.Hourly); n > 0 {
		weather += fmt.Sprintf(", and %d hourly lines from %s", n, clock(f.Hourly[0].At))
	}
	if in.Forecast.Official.Strict() {
		weather += ", official: " + in.Forecast.Official.Said()
	}
	return strings.NewReplacer(
		"{weather}", weather,
		"{way}", fmt.Sprintf("%.0f m with %.0f m up and %.0f m down on %s ground", in.Profile.Length.Metres(),
			in.Profile.Ascent.Metres(), in.Profile.Descent.Metres(), in.Surface),
		"{party}", fmt.Sprintf("%d participants, %d staff, pace %s, group factor %.0f %%", in.Party.Participants, in.Party.Staff,
			in.Party.Pace, float64(in.Party.GroupFactor())),
		"{start}", in.Start.Format(time.RFC3339),
		"{body}", fmt.Sprintf("%.0f kg and a load of %.0f kg", in.Rules.BodyMass.Kilograms(), in.Rules.Load.Kilograms()),
		"{work}", fmt.Sprintf("%.0f W", p.Heat.WorstHour.Work.Watts()),
		"{p50}", span(p.Time.P50.Duration()), "{p90}", span(p.Time.P90.Duration()),
		"{peak}", fmt.Sprintf("%.1f C", p.Heat.PeakWBGT.Celsius()),
		"{rate}", fmt.Sprintf("%.2f L/h", p.Water.Drink.LitresPerHour()),
		"{margin}", span(in.Rules.DaylightMargin), "{factor}", fmt.Sprintf("%.2f", in.Rules.ReturnFactor),
		"{ladder}", fmt.Sprintf("house ladder %s, %s, %s", degrees(in.Rules.Ladder.ShorterFrom),
			degrees(in.Rules.Ladder.ShortOnlyFrom), degrees(in.Rules.Ladder.CancelFrom)),
		"{used}", map[bool]string{true: "acclimatised people", false: "people not known to be used to heat"}[in.Acclimatised],
	)
}

func degrees(t unit.Temperature) string { return fmt.Sprintf("%.0f F", t.Fahrenheit()) }

// leavesOf returns the values of a plan or a year by their paths, lists laid together.
func leavesOf(p any) map[string][]any {
	b, err := json.Marshal(p)
	if err != nil {
		return nil // what this package made always has a JSON form
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

// summary writes one value as it is, and many as their number and range.
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
