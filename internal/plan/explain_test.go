package plan_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/plan"
	"saltbush/internal/sun"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// keysOf lists the paths of a plan's JSON with their values. The lines of a list share a path.
func keysOf(t *testing.T, v any) map[string]any {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(b, &tree); err != nil {
		t.Fatal(err)
	}
	keys := map[string]any{}
	var gather func(path string, node any)
	gather = func(path string, node any) {
		switch n := node.(type) {
		case map[string]any:
			for k, child := range n {
				gather(strings.TrimPrefix(path+"."+k, "."), child)
			}
		case []any:
			for _, child := range n {
				gather(path+"[]", child)
			}
			if len(n) == 0 {
				keys[path+"[]"] = nil
			}
		default:
			keys[path] = n
		}
	}
	gather("", tree)
	return keys
}

// hotMorning is a plan with every part filled: points, a short option, an off-by time.
func hotMorning(t *testing.T) plan.Input {
	in := ordinary(t)
	in.Start = time.Date(2026, 6, 6, 8, 0, 0, 0, arizona)
	in.Forecast = plan.Forecast{Low: 20, High: 37, DewPoint: 2, Wind: 2}
	in.Points = []plan.Point{
		{Name: "Notch Junction", Along: 1500 * unit.Metre},
		{Name: "Far Rim", Along: in.Profile.Far()},
		{Name: "Stock tank", Along: 1600 * unit.Metre, Water: true, WaterSeen: in.Start.AddDate(0, 0, -3)},
	}
	return in
}

// explainedIn returns the figures of a plan by name. Each must be complete.
func explainedIn(t *testing.T, figures []plan.Figure) map[string]plan.Figure {
	t.Helper()
	byName := map[string]plan.Figure{}
	for _, f := range figures {
		if f.Value == "" || f.Formula == "" || f.Source == "" || strings.ContainsAny(f.Inputs, "{}") {
			t.Errorf("figure %+v has a gap", f)
		}
		if _, twice := byName[f.Name]; twice {
			t.Errorf("%s is explained twice", f.Name)
		}
		byName[f.Name] = f
	}
	return byName
}

func TestEveryFigureIsExplained(t *testing.T) {
	in := hotMorning(t)
	p := compute(t, in)
	p.Return = promised(p)
	explained := explainedIn(t, plan.Explain(in, p))
	for key, value := range keysOf(t, p) {
		if text, ok := value.(string); ok {
			if _, err := time.Parse(time.RFC3339, text); err != nil {
				continue // words explain themselves
			}
		}
		if _, ok := explained[key]; !ok && !slices.Contains([]string{"verdict.instead[]", "trail.notes[]"}, key) {
			t.Errorf("%s = %v is not explained", key, value)
		}
	}
	if got, want := explained["time.p50_s"].Value, strconv.Itoa(int(p.Time.P50)); got != want {
		t.Errorf("P50 is explained as %s s, the plan says %s", got, want)
	}
}

func TestEveryFigureOfAYearIsExplained(t *testing.T) {
	in := easy(t)
	y, err := plan.Year(in, normalsOf(t, lowDesert))
	if err != nil {
		t.Fatal(err)
	}
	explained := explainedIn(t, plan.ExplainYear(in, y))
	words := []string{"months[].date", "months[].starts[].limit", "months[].usual_day.limits[]",
		"months[].hot_day.limits[]", "notes[]", "cautions[]", "months[].usual_day.with_care",
		"months[].hot_day.with_care"}
	for key := range keysOf(t, y) {
		if _, ok := explained[key]; !ok && !slices.Contains(words, key) {
			t.Errorf("%s is not explained", key)
		}
	}
}

// made is a plan with its input.
type made struct {
	in plan.Input
	plan.Plan
}

// liters rounds up to half liters, with the hair that packing leaves out.
func liters(rate unit.Flow, took plan.Seconds) float64 {
	return math.Ceil(rate.LitresPerHour()*took.Duration().Hours()*2-0.0002) / 2
}

// percentOff is how far a rule's time is off ours for one person without breaks.
func (m made) percentOff(rule string) float64 {
	alone := float64(m.Time.MovingP50) / float64(m.in.Party.GroupFactor().Fraction())
	return 100 * (float64(m.Time.Opinions[rule].Moving)/alone - 1)
}

// startOf finds the planned start in the window.
func (m made) startOf(t *testing.T) plan.Start {
	t.Helper()
	i := slices.IndexFunc(m.Window.Starts, func(s plan.Start) bool { return s.At.Equal(m.in.Start) })
	if i < 0 {
		t.Fatalf("the window has no start at %s", m.in.Start)
	}
	return m.Window.Starts[i]
}

// best finds the window's best start: go before change before cancel, silent before warned, then the most room.
func (m made) best() plan.Start {
	best := m.Window.Starts[0]
	for _, s := range m.Window.Starts[1:] {
		calmer := best.Decision.Graver(s.Decision) || s.Decision == best.Decision && s.Limit == "" && best.Limit != ""
		same := s.Decision == best.Decision && (s.Limit == "") == (best.Limit == "")
		if calmer || same && s.Over < best.Over {
			best = s
		}
	}
	return best
}

// deadline is the earlier of the margin before sunset and the off-by time.
func (m made) deadline() time.Time {
	at := m.Sun.Sunset.Add(-m.in.Rules.DaylightMargin)
	if off := m.Heat.OffBy; !off.IsZero() && off.Before(at) {
		return off.Time
	}
	return at
}

// homeBy is the deadline less a way home lengthened by the return factor.
func (m made) homeBy(home time.Duration) time.Time {
	return m.deadline().Add(-time.Duration(float64(home) * float64(m.in.Rules.ReturnFactor)))
}

// toFar is the expected time to the far point, which is the second of the points.
func (m made) toFar() time.Duration { return m.Time.Points[1].P50.Sub(m.in.Start) }

// evaluated are figures with their formula in code. A change of either is a change of both: the text is compared with
// what the plan prints, the value with what the plan computed. Within is the tolerance, for rounding.
func evaluated(t *testing.T) []struct {
	key, formula string
	within       float64
	value        func(made) float64 // times in seconds since the start
	plan         func(made) float64
} {
	since := func(m made, at time.Time) float64 { return at.Sub(m.in.Start).Seconds() }
	const carry = "rate x P90, up to the next half litre"
	return []struct {
		key, formula string
		within       float64
		value        func(made) float64
		plan         func(made) float64
	}{
		{"trail.rating.number", "root of (climb in feet x 2 x miles)", 1,
			func(m made) float64 { return math.Sqrt(m.Trail.Ascent.Feet() * 2 * m.Trail.Distance.Miles()) },
			func(m made) float64 { return float64(m.Trail.Rating.Number) + 0.5 }},
		{"time.moving_p50_s", "sum over legs of length / rate(slope) / surface share x pace x group factor", 1,
			func(m made) float64 { // on firm ground at the ordinary pace
				sum := 0.0
				for _, l := range m.in.Profile.Legs() {
					sum += (l.To - l.From).Metres() / walk.Rate(l.Slope).MetresPerSecond()
				}
				return sum * float64(m.in.Party.GroupFactor().Fraction())
			}, func(m made) float64 { return float64(m.Time.MovingP50) }},
		{"time.breaks_s", "10 min in each hour out: 12 min for each hour of walking", 1,
			func(m made) float64 { return float64(m.Time.MovingP50) / 60 * 12 },
			func(m made) float64 { return float64(m.Time.Breaks) }},
		{"time.p50_s", "walking + breaks", 1,
			func(m made) float64 { return float64(m.Time.MovingP50 + m.Time.Breaks) },
			func(m made) float64 { return float64(m.Time.P50) }},
		{"time.p90_s", "P50 x exp(1.2816 sigma)", 1,
			func(m made) float64 { return float64(m.Time.P50) * math.Exp(1.2816*0.20) },
			func(m made) float64 { return float64(m.Time.P90) }},
		{"time.points[].p50", "start + P50 x share of the work done there", 1,
			func(m made) float64 { return float64(m.Time.Points[0].Share) * float64(m.Time.P50) },
			func(m made) float64 { return since(m, m.Time.Points[0].P50.Time) }},
		{"time.points[].p90", "start + P90 x share of the work done there", 1,
			func(m made) float64 { return float64(m.Time.Points[0].Share) * float64(m.Time.P90) },
			func(m made) float64 { return since(m, m.Time.Points[0].P90.Time) }},
		{"time.points[].back_p90", "start + P90 x share of the work done on passing again", 1,
			func(m made) float64 { return float64(m.Time.Points[0].BackShare) * float64(m.Time.P90) },
			func(m made) float64 { return since(m, m.Time.Points[0].BackP90.Time) }},
		{"time.pace.steps_per_min", "95, 105 or 115 for gentle, ordinary, brisk", 0,
			func(made) float64 { return 105 }, func(m made) float64 { return float64(m.Time.Pace.Beat) }},
		{"time.pace.stride_level_m", "speed on the level / steps", 0.006,
			func(m made) float64 { return walk.Rate(0).MetresPerSecond() * 60 / float64(m.Time.Pace.Beat) },
			func(m made) float64 { return m.Time.Pace.Level.Metres() }},
		{"time.second_opinions.alpine club.moving_s",
			"longer of (4 km/h along, 300 m/h up + 500 m/h down) + half the shorter", 20,
			func(m made) float64 {
				along := m.Trail.Distance.Kilometres() / 4
				climb := m.Trail.Ascent.Metres()/300 + m.Trail.Descent.Metres()/500
				return 3600 * (max(along, climb) + min(along, climb)/2)
			}, func(m made) float64 { return float64(m.Time.Opinions[plan.AlpineClub].Moving) }},
		{"time.second_opinions.Tobler.difference_percent", "rule / our time for one person without breaks - 1", 0.6,
			func(m made) float64 { return m.percentOff(plan.ToblerOpinion) },
			func(m made) float64 { return float64(m.Time.Opinions[plan.ToblerOpinion].Difference) }},
		{"heat.worst_hour.limit_wbgt_c", "limit for the work of that hour", 0.06,
			func(m made) float64 { // of people not used to heat: the formula stands in the source
				return 59.9 - 14.1*math.Log10(m.Heat.WorstHour.Work.Watts())
			}, func(m made) float64 { return m.Heat.WorstHour.Limit.Celsius() }},
		{"heat.alert_limit_wbgt_c", "RAL for the hardest hour of the walk: people not used to heat", 0.13,
			func(m made) float64 { // the work of that hour, from its other limit
				return 59.9 - 14.1*(56.7-m.Heat.ExposureLimit.Celsius())/11.5
			}, func(m made) float64 { return m.Heat.AlertLimit.Celsius() }},
		{"heat.hours[].humidity_percent", "saturation pressure at the dew point / at the air temperature", 0.8,
			func(m made) float64 {
				air, dew := m.Heat.Hours[6].Air, m.in.Forecast.DewPoint
				return 100 * float64(heat.SaturationPressure(dew)/heat.SaturationPressure(air))
			}, func(m made) float64 { return float64(m.Heat.Hours[6].Humidity) }},
		{"heat.hours[].solar_w_m2", "1098 cos z exp(-0.059 / cos z), raised with height, x (1 - 0.75 cloud^3.4)", 0.6,
			func(m made) float64 {
				at, ground := m.Heat.Hours[6].At.Time, m.in.Profile.Samples[0]
				z := math.Cos(float64(sun.At(at, ground.At).Zenith))
				cloudless := 1098 * z * math.Exp(-0.059/z) * (1 + 2e-5/0.75*ground.Elevation.Metres())
				return cloudless * (1 - 0.75*math.Pow(float64(m.in.Forecast.Cloud), 3.4))
			}, func(m made) float64 { return m.Heat.Hours[6].Solar.WattsPerSquareMetre() }},
		{"water.carry_without_refills_l", carry, 0,
			func(m made) float64 { return liters(m.Water.Drink, m.Time.P90) },
			func(m made) float64 { return m.Water.WithoutRefills.Litres() }},
		{"water.body_sizes[].drink_l_per_h",
			"rate x mass / reference mass, within a quarter quart an hour of the rate", 0.011,
			func(m made) float64 {
				rate, quarter := m.Water.Drink, unit.USQuartPerHour/4
				size := unit.Flow(m.Water.Sizes[2].Body / m.in.Rules.BodyMass)
				return float64(min(rate+quarter, rate*size, 1.42))
			}, func(m made) float64 { return m.Water.Sizes[2].Drink.LitresPerHour() }},
		{"water.body_sizes[].carry_l", "that " + carry, 0,
			func(m made) float64 { return liters(m.Water.Sizes[2].Drink, m.Time.P90) },
			func(m made) float64 { return m.Water.Sizes[2].Carry.Litres() }},
		{"water.load.share_of_body_percent", "(4 kg of kit + 1 kg for each litre) / reference mass", 0.51,
			func(m made) float64 { return 100 * (4 + m.Water.Carry.Litres()) / m.in.Rules.BodyMass.Kilograms() },
			func(m made) float64 { return float64(m.Water.Load.Share) }},
		{"water.group_reserve_l", "2 L, or 0.25 L a person if more; none for one person alone", 0,
			func(m made) float64 { return max(2, 0.25*float64(m.in.Party.People())) },
			func(m made) float64 { return m.Water.Reserve.Litres() }},
		{"turnaround.at", "earliest of sunset - margin - way back x factor, off-by time - way back x factor, half of " +
			"P90; none on a way that ends elsewhere", 2,
			func(m made) float64 {
				at := m.homeBy(m.Time.P50.Duration() - m.toFar())
				if water := m.in.Start.Add(m.Time.P90.Duration() / 2); water.Before(at) {
					at = water
				}
				return since(m, at.Truncate(time.Minute))
			}, func(m made) float64 { return since(m, m.Turnaround.At.Time) }},
		{"turnaround.off_trail_by", "earlier of sunset - margin and the off-by time", 0,
			func(m made) float64 { return since(m, m.deadline().Truncate(time.Minute)) },
			func(m made) float64 { return since(m, m.Turnaround.OffTrail.Time) }},
		{"turnaround.start_by", "the turnaround by daylight or heat - time to the far point", 61,
			func(m made) float64 { return since(m, m.homeBy(m.Time.P50.Duration()-m.toFar()).Add(-m.toFar())) - 30 },
			func(m made) float64 { return since(m, m.Turnaround.StartBy.Time) }},
		{"start_window.best", "of the calmest starts, the one with the most room under its heat limits", 0,
			func(m made) float64 { return since(m, m.best().At.Time) },
			func(m made) float64 { return since(m, m.Window.Best.Time) }},
		{"start_window.starts[].decision", "as the verdict, for that start, the time zone taken as right", 0,
			func(m made) float64 { return grade(m.Verdict.Decision) },
			func(m made) float64 { return grade(m.startOf(t).Decision) }},
		{"start_window.starts[].peak_wbgt_c", "highest WBGT that this start meets", 0,
			func(m made) float64 { return m.Heat.PeakWBGT.Celsius() },
			func(m made) float64 { return m.startOf(t).WBGT.Celsius() }},
		{"short_option.distance_m", "twice the turn", 0,
			func(m made) float64 { return 2 * m.Short.Turn.Metres() },
			func(m made) float64 { return m.Short.Distance.Metres() }},
		{"short_option.p90_s", "P50 x exp(1.2816 sigma)", 1,
			func(m made) float64 { return float64(m.Short.P50) * math.Exp(1.2816*0.20) },
			func(m made) float64 { return float64(m.Short.P90) }},
		{"short_option.carry_l_per_person", carry, 0,
			func(m made) float64 { return liters(m.Short.Drink, m.Short.P90) },
			func(m made) float64 { return m.Short.Carry.Litres() }},
	}
}

func grade(d plan.Decision) float64 {
	return map[plan.Decision]float64{plan.Go: 1, plan.Change: 2, plan.Cancel: 3}[d]
}

// The simple formulas, evaluated against three plans that exercise different limits.
func TestFormulasGiveTheFigures(t *testing.T) {
	hot, cool, large := hotMorning(t), hotMorning(t), hotMorning(t)
	cool.Start = time.Date(2026, 12, 10, 9, 0, 0, 0, arizona)
	cool.Forecast = plan.Forecast{Low: 6, High: 18, DewPoint: -2, Wind: 2, Cloud: 0.4}
	large.Party.Participants = 26
	large.Rules.CallAfter, large.Rules.UrgentAfter, large.Rules.HotDay = 75*time.Minute, 20*time.Minute, 30
	large.Rules.DaylightMargin, large.Rules.ReturnFactor, large.Rules.BodyMass = 4*time.Hour, 1.5, 90
	large.Forecast.High = 31
	for name, in := range map[string]plan.Input{"hot": hot, "cool": cool, "large party": large} {
		t.Run(name, func(t *testing.T) {
			m := made{in, compute(t, in)}
			explained := explainedIn(t, plan.Explain(in, m.Plan))
			for _, f := range evaluated(t) {
				if strings.HasPrefix(f.key, "short_option") && m.Short == nil {
					continue
				}
				if got := explained[f.key].Formula; got != f.formula {
					t.Errorf("%s is explained by %q, evaluated by %q", f.key, got, f.formula)
				}
				if got, want := f.plan(m), f.value(m); math.Abs(got-want) > f.within {
					t.Errorf("%s: %q gives %g, the plan says %g", f.key, f.formula, want, got)
				}
			}
		})
	}
}

// Sources and formulas that name a number of the code name the right one.
func TestExplanationsNameTheRightNumbers(t *testing.T) {
	in := hotMorning(t)
	p := compute(t, in)
	spread := float64(walk.DefaultSpread().Sigma())
	explained := explainedIn(t, plan.Explain(in, p))
	for key, number := range map[string]string{
		"time.breaks_s": fmt.Sprintf("%.0f min for each hour of walking", walk.DefaultSettings().RestPerHour.Minutes()),
		"time.p90_s": fmt.Sprintf("sigma %.2f, so P90 is %.0f %% above P50", spread,
			100*(math.Exp(1.2816*spread)-1)),
		"heat.off_by": "REL = 56.7 - 11.5 log10 M",
		"water.load.share_of_body_percent": fmt.Sprintf("(%.0f kg of kit", math.Round(
			float64(p.Water.Load.Share)/100*in.Rules.BodyMass.Kilograms()-p.Water.Carry.Litres())),
	} {
		if f := explained[key]; !strings.Contains(f.Formula+" "+f.Source, number) {
			t.Errorf("%s: %q of %q does not say %q", key, f.Formula, f.Source, number)
		}
	}
	if got, want := heat.ExposureLimit(300).Celsius(), 56.7-11.5*math.Log10(300); math.Abs(got-want) > 1e-9 {
		t.Errorf("the exposure limit at 300 W is %g, by its source %g", got, want)
	}
	if in.Profile.Shape != track.OutAndBack {
		t.Errorf("the walk is %s; the formulas of the way back need out-and-back", in.Profile.Shape)
	}
}
