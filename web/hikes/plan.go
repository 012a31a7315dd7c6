package hikes

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/web/chart"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
)

// hikePlan adds the plan for the staff, or why there is none.
func (s *Handlers) hikePlan(p *view.HikePage, t hike.Data) {
	if t.Plan == nil {
		p.NoPlan = "No forecast has been typed for this day. Without one there is no plan: nothing here is known to " +
			"be safe."
		return
	}
	zone, u := t.Zone(), p.Units
	p.Plan = staffPlan(t, zone, u)
	p.Plan.Day = chart.DrawnDay(chart.NewDayDrawing(*t.Plan, t.Clocks, zone, u))
	p.Plan.Stale = kit.Stale(t)
	p.Plan.Unknown = unknowns(t)
}

// unknowns lists what the verdict does not take into account.
func unknowns(t hike.Data) []string {
	var list []string
	if asked := t.Plan.Official.Unasked(); len(asked) > 0 {
		list = append(list,
			"Not looked up: "+format.NamesShort(asked)+". Look before you decide, and type it with the forecast.")
	}
	if days := t.Stored.EarlyForecast(); days > 0 {
		list = append(list,
			fmt.Sprintf("The forecast was typed %d days before the hike. So early it says little about the day: type "+
				"it again in the last days.", days))
	}
	return list
}

func staffPlan(t hike.Data, zone *time.Location, u format.System) *view.HikePlan {
	p := t.Plan
	at := func(i plan.Instant) string { return format.Clock(i.Time, zone) }
	return &view.HikePlan{
		Verdict: view.VerdictStamp(string(p.Verdict.Decision)), Reasons: p.Verdict.Reasons, Instead: p.Verdict.Instead,
		Window: startsText(p, t.Hike.Start, zone, u), Points: pointTimes(p, zone, u),
		Worst: worstHour(p.Heat.WorstHour, zone, u),
		Short: shortOption(p.Short, u), Pace: paceCard(p.Time.Pace), Others: opinions(p.Time.Opinions),
		Time: kit.TimeRange(p), Return: kit.BackRange(t, zone),
		Turn:  kit.TurnLine(t.Clocks, zone),
		Start: format.Clock(t.Clocks.Start, zone), Expected: format.Clock(t.Clocks.Expected, zone),
		WatchNote: format.SentenceWord(kit.WatchNote(t.Clocks, zone)) + ".",
		Watch:     format.Clock(t.Clocks.Watch, zone), Call: format.Clock(t.Clocks.Call, zone),
		FirstLight: at(p.Sun.CivilDawn), Sunrise: at(p.Sun.Sunrise), Sunset: at(p.Sun.Sunset),
		LastLight: at(p.Sun.CivilDusk),
		WaterEach: format.Volume(p.Water.Carry, u), WaterGroup: format.Volume(p.Water.Reserve, u),
		WaterBefore: format.Volume(p.Water.BeforeStart, u), Rate: format.Flow(p.Water.Drink, u),
		Ceiling: kit.DrinkCeiling(u),
		Bottles: kit.Bottles(p.Water), LoadRemark: p.Water.Load.Remark, Sizes: bodySizes(p.Water, u),
		Refills: kit.Refills(p.Water, u),
		FoodRate: fmt.Sprintf("%.0f to %.0f kcal an hour", p.Food.Low.KilocaloriesPerHour(),
			p.Food.High.KilocaloriesPerHour()),
		FoodEach: format.Energy(p.Food.Carry), FoodBefore: format.Energy(p.Food.BeforeStart),
		Official: kit.OfficialLines(p.Official),
		Heat:     heatTable(p, t.Clocks, zone, u), Cautions: p.Cautions, Model: p.Model,
		Made: format.Moment(t.Stored.Made, zone) + " by " + t.Stored.By, From: forecastWords(t.Stored.Inputs, u),
	}
}

func forecastWords(in hike.PlanInputs, u format.System) string {
	f := in.Forecast
	return fmt.Sprintf("low %s, high %s, dew point %s, wind %s, cloud %s; start %s, %s and %s, %s pace",
		format.Temperature(f.Low, u), format.Temperature(f.High, u), format.Temperature(f.DewPoint, u),
		format.Speed(f.Wind, u), format.Percent(f.Cloud.Percent()),
		in.Start.Format("15:04"), format.Count(in.Participants, "walker", "walkers"),
		format.Count(in.Staff, "leader", "leaders"), in.Pace)
}

// usedLimit is the heat limit with acclimatization, "" in old plans.
func usedLimit(h plan.Heat, u format.System) string {
	if h.ExposureLimit == 0 {
		return ""
	}
	return format.Temperature(h.ExposureLimit, u)
}

func bodySizes(w plan.Water, u format.System) []format.Line {
	var lines []format.Line
	for _, b := range w.Sizes {
		lines = append(lines, format.Line{Label: "A body of " + format.Mass(b.Body, u),
			Value: format.Volume(b.Carry, u), Note: "Drunk at " + format.Flow(b.Drink, u) + "."})
	}
	return lines
}

func heatTable(p *plan.Plan, c party.Clocks, zone *time.Location, u format.System) view.HeatTableText {
	t := view.HeatTableText{
		Temperature: format.TemperatureUnit(u),
		Peak: fmt.Sprintf("WBGT %s at %s, air up to %s", format.Temperature(p.Heat.PeakWBGT, u),
			format.Clock(p.Heat.PeakAt.Time, zone), format.Temperature(p.Heat.PeakAir, u)),
		Limit: format.Temperature(p.Heat.Limit, u),
		Used:  usedLimit(p.Heat, u),
	}
	if !p.Heat.OffBy.IsZero() {
		t.OffBy = format.Clock(p.Heat.OffBy.Time, zone)
	}
	for _, h := range p.Heat.Hours {
		t.Rows = append(t.Rows, view.HeatRow{
			At: format.Clock(h.At.Time, zone), Air: format.Degrees(h.Air, u),
			Humidity: fmt.Sprintf("%.0f", float64(h.Humidity)),
			Sun:      fmt.Sprintf("%.0f", h.Solar.WattsPerSquareMetre()), WBGT: format.Degrees(h.WBGT, u),
			HeatIndex: format.Degrees(h.HeatIndex, u),
			Walk:      kit.InWalk(c, h), Over: h.WBGT > p.Heat.Limit,
		})
	}
	return t
}

func startsText(p *plan.Plan, start time.Time, zone *time.Location, u format.System) view.StartsText {
	w := p.Window
	t := view.StartsText{Limits: w.Limits, Lines: startLines(w, p.Official.Strict(), zone, u)}
	if len(w.Starts) > 0 || len(w.Limits) > 0 {
		t.Drawing = chart.DrawnStarts(chart.NewStartsDrawing(w, start, zone, u))
	}
	return t
}

func startLines(w plan.StartWindow, strict bool, zone *time.Location, u format.System) []format.Line {
	if w.Best.IsZero() {
		return nil
	}
	best := format.Line{Label: "Best start", Value: format.Clock(w.Best.Time, zone), Note: startMeets(w, u)}
	if !w.Earliest.IsZero() {
		return []format.Line{best,
			{Label: "Earliest that passes", Value: format.Clock(w.Earliest.Time, zone)},
			{Label: "Latest that passes", Value: format.Clock(w.Latest.Time, zone)}}
	}
	best.Label = "Least bad start"
	if w.Care == nil {
		return []format.Line{best}
	}
	if strict {
		return []format.Line{best,
			{Label: "Allowed window", Value: format.ClockRange(w.Care.Earliest.Time, w.Care.Latest.Time, zone),
				Note: "These starts meet no heat limit of their own. Use them only where the warning and the land " +
					"manager leave it open."}}
	}
	return []format.Line{best,
		{Label: "With care", Value: format.ClockRange(w.Care.Earliest.Time, w.Care.Latest.Time, zone),
			Note: "Nothing graver than the house ladder's first step: shade breaks, spare water, as short and early " +
				"as " +
				"can be."}}
}

// startMeets says what the best start meets.
func startMeets(w plan.StartWindow, u format.System) string {
	for _, s := range w.Starts {
		if s.At.Equal(w.Best.Time) {
			return "Plan says " + chart.StartMeets(s, u) + "."
		}
	}
	return ""
}

// pointTimes lists the times at each place, in the order of the walk.
func pointTimes(p *plan.Plan, zone *time.Location, u format.System) []view.PointTimes {
	points := slices.Clone(p.Time.Points)
	slices.SortStableFunc(points, func(a, b plan.TimePoint) int { return cmp.Compare(a.Along, b.Along) })
	rows := make([]view.PointTimes, len(points))
	for i, at := range points {
		rows[i] = view.PointTimes{Name: at.Name, Along: format.Length(at.Along, u),
			Expected: format.Clock(at.P50.Time, zone), Late: format.Clock(at.P90.Time, zone)}
		for _, turn := range p.Turnaround.Points {
			if turn.Name == at.Name && turn.Along == at.Along {
				rows[i].Turn, rows[i].Because = kit.ClockOr(turn.At.Time, zone), turn.Because
			}
		}
	}
	return rows
}

func worstHour(h plan.WorstHour, zone *time.Location, u format.System) []format.Line {
	if h.From.IsZero() {
		return nil
	}
	note := "Within the limit for the work of that hour."
	if h.WBGT > h.Limit {
		note = "Over the limit for the work of that hour."
	}
	return []format.Line{
		{Label: "From and to", Value: format.ClockRange(h.From.Time, h.To.Time, zone)},
		{Label: "Mean WBGT", Value: view.ExactTemperature(h.WBGT, u), Note: note},
		{Label: "Limit", Value: view.ExactTemperature(h.Limit, u)},
		{Label: "Work of the body", Value: view.Work(h.Work)},
	}
}

func shortOption(s *plan.ShortOption, u format.System) []format.Line {
	if s == nil {
		return nil
	}
	turn := format.Line{Label: "Turn back at", Value: s.Name, Note: format.Length(s.Turn, u) + " from the start"}
	if s.Name == "" {
		turn = format.Line{Label: "Turn back after", Value: format.Length(s.Turn, u), Note: "No named place is near."}
	}
	passes := format.Line{Label: "Passes", Value: "yes, from the planned start", Note: s.Because}
	if !s.Passes {
		passes.Value = "no"
	}
	return []format.Line{
		passes, turn,
		{Label: "Distance", Value: format.Length(s.Distance, u), Note: "There and back."},
		{Label: "On the trail", Value: format.DurationRange(s.P50.Duration(), s.P90.Duration()),
			Note: "Likely to late."},
		{Label: "Water each", Value: format.Volume(s.Carry, u), Note: "Drunk at " + format.Flow(s.Drink, u) + "."},
	}
}

// paceCard is the leader's pace card, empty where none could be made.
func paceCard(c plan.Pace) []format.Line {
	if c.Beat == 0 {
		return nil
	}
	return []format.Line{
		{Label: "Beat", Value: fmt.Sprintf("%d steps a minute", c.Beat),
			Note: "The same on every slope: only the stride changes."},
		{Label: "Stride on the level", Value: view.Stride(c.Level)},
		{Label: "Stride going up", Value: view.Stride(c.Up), Note: "On the mean climb of this way."},
		{Label: "Stride going down", Value: view.Stride(c.Down), Note: "On the mean descent of this way."},
	}
}

func opinions(by map[string]plan.Opinion) []view.OpinionText {
	var out []view.OpinionText
	for _, name := range slices.Sorted(maps.Keys(by)) {
		o := by[name]
		out = append(out,
			view.OpinionText{Name: strings.ToUpper(name[:1]) + name[1:], Moving: format.Duration(o.Moving.Duration()),
				Difference: view.Longer(o.Difference), Differs: o.Differs})
	}
	return out
}
