package plan_test

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// keysOf lists the paths of a plan's JSON, lists laid together, with their values.
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
	var walk func(path string, node any)
	walk = func(path string, node any) {
		switch n := node.(type) {
		case map[string]any:
			for k, child := range n {
				walk(strings.TrimPrefix(path+"."+k, "."), child)
			}
		case []any:
			for _, child := range n {
				walk(path+"[]", child)
			}
			if len(n) == 0 {
				keys[path+"[]"] = nil
			}
		default:
			keys[path] = n
		}
	}
	walk("", tree)
	return keys
}

// hotMorning is a plan with every part filled: points, a short option, an off-by time.
func hotMorning(t *testing.T) plan.Input {
	in := ordinary(t)
	in.Start = time.Date(2026, 6, 6, 8, 0, 0, 0, arizona)
	in.Forecast = plan.Forecast{Low: 20, High: 37, DewPoint: 2, Wind: 2}
	in.Points = []plan.Point{{Name: "Notch Junction", Along: 1500 * unit.Metre}, {Name: "Far Rim", Along: in.Profile.Far()},
		{Name: "Stock tank", Along: 1600 * unit.Metre, Water: true, WaterSeen: in.Start.AddDate(0, 0, -3)}}
	return in
}

func TestEveryFigureIsExplained(t *testing.T) {
	in := hotMorning(t)
	p := compute(t, in)
	explained := map[string]plan.Figure{}
	for _, f := range plan.Explain(in, p) {
		if f.Value == "" || f.Formula == "" || f.Source == "" || strings.ContainsAny(f.Inputs, "{}") {
			t.Errorf("figure %+v has a gap", f)
		}
		explained[f.Name] = f
	}
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

// The keys are a promise to everybody who stored a plan: they may be added to, never
// renamed. This is a golden of our own making.
func TestKeysAreStable(t *testing.T) {
	keys := keysOf(t, compute(t, hotMorning(t)))
	for _, want := range strings.Fields(`model trail.distance_m trail.ascent_m trail.descent_m trail.lowest_m trail.highest_m
		trail.steepest_percent trail.rating.number trail.rating.class time.moving_p50_s time.breaks_s time.p50_s time.p90_s
		time.points[].name time.points[].at_m time.points[].p50 time.points[].p90 time.points[].back_p50 time.points[].back_p90 time.pace.steps_per_min time.pace.stride_level_m
		time.pace.stride_up_m time.pace.stride_down_m time.second_opinions.Tobler.moving_s time.second_opinions.Tobler.differs
		sun.civil_dawn sun.sunrise sun.sunset sun.civil_dusk heat.peak_wbgt_c heat.peak_air_c heat.peak_at heat.limit_wbgt_c
		heat.alert_limit_wbgt_c heat.exposure_limit_wbgt_c official.heat_level official.storm_chance official.air_quality_index
		heat.off_by heat.worst_hour.from heat.worst_hour.to heat.worst_hour.mean_wbgt_c heat.worst_hour.work_w
		heat.worst_hour.limit_wbgt_c heat.hours[].at heat.hours[].air_c heat.hours[].humidity_percent heat.hours[].solar_w_m2
		heat.hours[].wbgt_c heat.hours[].heat_index_c water.drink_l_per_h water.carry_l_per_person water.group_reserve_l
		water.before_start_l water.bottles water.carry_without_refills_l water.refills[].at_m water.refills[].counted
		water.body_sizes[].drink_l_per_h water.load.share_of_body_percent food.kcal_per_h_low food.kcal_per_h_high food.carry_kcal_per_person food.before_start_kcal
		return.expected return.watch return.call turnaround.at turnaround.because turnaround.start_by turnaround.off_trail_by turnaround.points[].name
		turnaround.points[].at_m turnaround.points[].at turnaround.points[].because start_window.earliest start_window.latest
		start_window.best start_window.with_care.earliest start_window.with_care.latest start_window.limits[] start_window.starts[].at start_window.starts[].decision
		start_window.starts[].peak_wbgt_c start_window.starts[].peak_felt_c start_window.starts[].over_c short_option.turn_at_m
		short_option.name short_option.distance_m short_option.p50_s short_option.p90_s short_option.drink_l_per_h
		short_option.carry_l_per_person short_option.passes verdict.decision verdict.reasons[] verdict.instead[] cautions[]`) {
		if _, ok := keys[want]; !ok {
			t.Errorf("the plan's JSON has no %s", want)
		}
	}
}

func TestEveryFigureOfAYearIsExplained(t *testing.T) {
	in := easy(t)
	y, err := plan.Year(in, normalsOf(t, lowDesert))
	if err != nil {
		t.Fatal(err)
	}
	explained := map[string]bool{}
	for _, f := range plan.ExplainYear(in, y) {
		if f.Value == "" || f.Formula == "" || f.Source == "" || strings.ContainsAny(f.Inputs, "{}") {
			t.Errorf("figure %+v has a gap", f)
		}
		explained[f.Name] = true
	}
	words := []string{"months[].date", "months[].starts[].limit", "months[].usual_day.limits[]", "months[].hot_day.limits[]", "notes[]", "cautions[]", "months[].usual_day.with_care", "months[].hot_day.with_care"}
	for key := range keysOf(t, y) {
		if !explained[key] && !slices.Contains(words, key) {
			t.Errorf("%s is not explained", key)
		}
	}
}
