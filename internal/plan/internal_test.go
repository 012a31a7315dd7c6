package plan

import (
	"math"
	"regexp"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// anyDay draws a place, a date and weather for which plans are made.
func anyDay(t *rapid.T) day {
	zone := time.FixedZone("local", -7*3600)
	low := rapid.Float64Range(-5, 32).Draw(t, "low")
	high := low + rapid.Float64Range(2, 22).Draw(t, "swing")
	in := Input{
		Start: time.Date(2026, 1, 1, 6, 0, 0, 0, zone).AddDate(0, 0, rapid.IntRange(0, 364).Draw(t, "date")),
		Profile: track.Profile{Samples: []track.Sample{{
			At:        unit.At(rapid.Float64Range(20, 48).Draw(t, "latitude"), -112),
			Elevation: unit.Length(rapid.Float64Range(0, 2500).Draw(t, "trailhead")),
		}}},
		Forecast: Forecast{
			Low: unit.Celsius(low), High: unit.Celsius(high),
			DewPoint: unit.Celsius(rapid.Float64Range(-15, 20).Draw(t, "dew point")),
			Wind:     unit.Speed(rapid.Float64Range(0, 12).Draw(t, "wind")),
			Cloud:    unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "cloud")),
		},
	}
	in.Forecast.DewPoint = min(in.Forecast.DewPoint, in.Forecast.High)
	d, err := newDay(in)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The error of the table, against the balance solved at the same moment and height.
func TestTableIsNearTheBalance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := anyDay(rt)
		lowest := max(-400, d.trailhead-unit.Length(rapid.Float64Range(0, 1500).Draw(rt, "down")))
		highest := d.trailhead + unit.Length(rapid.Float64Range(0, 1500).Draw(rt, "up"))
		tb, err := newTable(d, d.first, d.last, lowest, highest)
		if err != nil {
			rt.Fatal(err)
		}
		for range 40 {
			share := rapid.Float64Range(0, 1).Draw(rt, "time")
			at := d.first.Add(time.Duration(share * float64(d.last.Sub(d.first))))
			height := lowest + (highest-lowest)*unit.Length(rapid.Float64Range(0, 1).Draw(rt, "height"))
			coolest, hottest := around(rt, d, tb, at, height)
			got := tb.at(tb.seconds(at), tb.spot(height)).wbgt
			bound := coolTableError
			if hottest >= 20 && d.forecast.DewPoint <= d.forecast.Low-5 {
				bound = tableError
			}
			if got < coolest-bound || got > hottest+bound {
				rt.Fatalf("at %s, %.0f m: table %.3f C, balance %.3f to %.3f C",
					clock(at), height.Metres(), got, coolest, hottest)
			}
		}
	})
}

// around solves the balance at a moment and height with each stability class that the wind has at the grid points
// around it, and returns the coolest and the hottest.
func around(t *rapid.T, d day, tb table, at time.Time, height unit.Length) (coolest, hottest unit.Temperature) {
	row := int(tb.seconds(at) / rowSeconds)
	s := tb.spot(height)
	air := d.air(at, height)
	coolest, hottest = 100, -100
	for _, r := range []int{row, row + 1} {
		for _, l := range []int{s.level, min(s.level+1, len(tb.levels)-1)} {
			air.Wind = max(0.13, d.air(tb.time(r), tb.levels[l]).Wind)
			globe, err := heat.WBGT(air)
			if err != nil {
				t.Fatal(err)
			}
			coolest, hottest = min(coolest, globe.WBGT), max(hottest, globe.WBGT)
		}
	}
	return coolest, hottest
}

// levelRoute is a level walk of 4 km on a June day.
func levelRoute(t *testing.T, acclimatised bool) *route {
	t.Helper()
	var fixes []track.Fix
	for x := 0.0; x <= 4000; x += 50 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+x/111_000, -112), Elevation: 600, HasElevation: true})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OneWay)
	if err != nil {
		t.Fatal(err)
	}
	r, err := newRoute(Input{
		Profile: p, Surface: walk.Firm, Rules: rules.DefaultRules().Planning, Party: walk.Party{Staff: 1},
		Acclimatized: acclimatised,
		Start:        time.Date(2026, 6, 6, 8, 0, 0, 0, time.FixedZone("UTC-7", -7*3600)),
		Forecast:     Forecast{Low: 15, High: 30, DewPoint: 0, Wind: 2},
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestEachLimitAlone(t *testing.T) {
	cool := outcome{felt: 20, drink: 0.5,
		exposure: hourHeat{hour: hour{exposure: 28}, mean: 15}, alert: hourHeat{hour: hour{alert: 25}, mean: 15}}
	for _, c := range []struct {
		name         string
		acclimatised bool
		change       func(*outcome)
		limit        limit
		want         weight
	}{
		{"nothing", false, func(*outcome) {}, ofHour, passes},
		{"hour above the exposure limit", true, func(m *outcome) { m.exposure.mean = 28.1 }, ofHour, changes},
		{"hour at the exposure limit", true, func(m *outcome) { m.exposure.mean = 28 }, ofHour, passes},
		{"hour above the alert limit", false, func(m *outcome) { m.alert.mean = 25.1 }, ofHour, warns},
		{"the same, used to heat", true, func(m *outcome) { m.alert.mean = 25.1 }, ofHour, passes},
		// The ladder: 85, 95 and 100 F; drinking above 1 L an hour.
		{"84 F", false, func(m *outcome) { m.felt = unit.Fahrenheit(84.8) }, ofLadder, passes},
		{"85 F", false, func(m *outcome) { m.felt = unit.Fahrenheit(85) }, ofLadder, changes},
		{"99 F", false, func(m *outcome) { m.felt = unit.Fahrenheit(99) }, ofLadder, changes},
		{"100 F", false, func(m *outcome) { m.felt = unit.Fahrenheit(100) }, ofLadder, cancels},
		{"drinks a litre", false, func(m *outcome) { m.drink = 1 }, ofDrinking, passes},
		{"drinks more", false, func(m *outcome) { m.drink = 1.01 }, ofDrinking, changes},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := levelRoute(t, c.acclimatised)
			m := cool
			m.start = r.day.light.Rise
			m.back = m.start.Add(time.Minute)
			r.toFar, r.fromFar = 0, 0
			c.change(&m)
			f := r.exceededLimits(m)
			if f[c.limit] != c.want || f.weight() != c.want {
				t.Errorf("found %v, want %d for limit %s and nothing else", f, c.want, c.limit)
			}
		})
	}
}

// The worst hour, against the mean of every hour summed in steps of five seconds.
func TestWorstHourIsTheWorst(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		m := r.simulate(r.in.Start)
		from := r.table.seconds(r.in.Start)
		worst := math.Inf(-1)
		for _, p := range r.timelines {
			for _, h := range p.hours {
				end := p.stations[h.last].after
				sum, piece, n := 0.0, 0, 0.0
				for s := end - h.span + 2.5; s < end; s += 5 {
					for p.stations[piece].after < s {
						piece++
					}
					sum += float64(r.table.at(from+p.stations[piece].after, p.stations[piece].spot).wbgt)
					n++
				}
				worst = max(worst, sum/n-float64(h.exposure))
			}
		}
		if got := float64(m.exposure.mean - m.exposure.exposure); math.Abs(got-worst) > 0.02 {
			rt.Fatalf("worst hour is %.3f C over its limit, second by second %.3f", got, worst)
		}
	})
}

// The hotter day equals a plan made from a hotter forecast.
func TestHotterDayEqualsAHotterForecast(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		got, err := r.hotter()
		if err != nil {
			rt.Fatal(err)
		}
		in := r.in
		in.Forecast = in.Forecast.hotter(in.Rules.ForecastError)
		whole, err := newRoute(in)
		if err != nil {
			rt.Fatal(err)
		}
		want := whole.simulate(in.Start)
		if got.exceeded != want.exceeded || math.Abs(float64(got.wbgt-want.wbgt)) > 1e-6 {
			rt.Fatalf("found %v at %.2f C, a plan from that forecast %v at %.2f C",
				got.exceeded, got.wbgt, want.exceeded, want.wbgt)
		}
	})
}

func TestHourlyIsStraightBetweenLines(t *testing.T) {
	at := time.Date(2026, 6, 6, 8, 0, 0, 0, time.UTC)
	lines := []HourlyAir{{At: at, Air: 20, DewPoint: 2, Wind: 1, Cloud: 0},
		{At: at.Add(time.Hour), Air: 24, DewPoint: 4, Wind: 3, Cloud: 0.5}}
	got := hourlyAt(lines, at.Add(15*time.Minute))
	want := HourlyAir{At: at.Add(15 * time.Minute), Air: 21, DewPoint: 2.5, Wind: 1.5, Cloud: 0.125}
	if got != want {
		t.Errorf("a quarter past: %+v, want %+v", got, want)
	}
}

// anyRoute draws a hilly walk on a drawn day.
func anyRoute(t *rapid.T) *route {
	d := anyDay(t)
	d.forecast.DewPoint = min(d.forecast.DewPoint, d.forecast.Low-5) // no fog: see the error bounds of the table
	length := rapid.Float64Range(500, 8000).Draw(t, "length")
	swing := rapid.Float64Range(0, 60).Draw(t, "swing of the hills")
	var fixes []track.Fix
	for x := 0.0; x <= length; x += 25 {
		fixes = append(fixes, track.Fix{At: unit.At(d.place.Lat.Degrees()+x/111_000, -112), HasElevation: true,
			Elevation: d.trailhead + 100 + unit.Length(swing*math.Sin(x/400))})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	r, err := newRoute(Input{
		Profile: p, Surface: walk.Firm, Forecast: d.forecast, Rules: rules.DefaultRules().Planning,
		Start: d.light.Noon.Add(time.Duration(rapid.IntRange(-400, 200).Draw(t, "minute")) * time.Minute),
		Party: walk.Party{Participants: rapid.IntRange(0, 20).Draw(t, "participants"), Staff: 1},
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The outcome of a start, against a plain walk along the legs that solves the balance at each.
func TestOutcomeEqualsAPlainWalk(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		m := r.simulate(r.in.Start)
		peak := unit.Temperature(-100)
		for _, q := range []unit.Fraction{half, nineInTen} {
			for i, leg := range r.timing.legs {
				e := r.timing.estimate
				at, err := r.day.exact(r.in.Start.Add(e.Reach(e.Ends[i], q)), leg.Elevation)
				if err != nil {
					rt.Fatal(err)
				}
				peak = max(peak, at)
			}
		}
		// The error of the table, and as much again for a change of stability class.
		if off := math.Abs(float64(peak - m.wbgt)); off > 0.2 && peak >= 20 || off > 0.7 {
			rt.Fatalf("peak %.2f C, plain walk %.2f C", m.wbgt, peak)
		}
	})
}

// The hours of a timeline, against summing the walk in steps of half a second.
func TestHoursAreMeansOverAnHour(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		p := r.timelines[rapid.IntRange(0, 1).Draw(rt, "quantile")]
		h := p.hours[rapid.IntRange(0, len(p.hours)-1).Draw(rt, "hour")]
		end := p.stations[h.last].after
		work, piece := 0.0, 0
		const step = 0.5
		for s := end - h.span + step/2; s < end; s += step {
			for p.stations[piece].after < s {
				piece++
			}
			took := p.stations[piece].after - p.beginOf(piece)
			work += r.timing.workOn(piece, took) / took * step
		}
		if want := work / h.span; math.Abs(want-h.power.Watts()) > 0.01*want {
			rt.Fatalf("hour that ends after %.0f s: %.1f W, second by second %.1f W", end, h.power.Watts(), want)
		}
		if h.exposure != heat.ExposureLimit(h.power) || h.alert != heat.AlertLimit(h.power) {
			rt.Fatalf("limits %v and %v do not go with %v W", h.exposure, h.alert, h.power)
		}
		if last := p.hours[len(p.hours)-1]; p.stations[last.last].after != p.end() {
			rt.Fatalf("the last hour ends after %.0f s, the walk after %.0f", p.stations[last.last].after, p.end())
		}
	})
}

// The off-by time, against a check of every ten seconds of the day.
func TestOffByIsTheFirstHotMoment(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		from := r.table.seconds(r.in.Start)
		got := r.offBy(from)
		s := r.table.spot(r.lowest)
		for at := from; at < float64(r.table.rows-1)*rowSeconds; at += 10 {
			n := r.table.at(at, s)
			if n.wbgt <= r.limit && n.felt+slack < r.in.Rules.Ladder.CancelFrom {
				continue
			}
			if got.IsZero() || math.Abs(r.table.seconds(got)-at) > 11 {
				rt.Fatalf("off by %s, first hot moment %s", got, r.table.moment(at))
			}
			return
		}
		if !got.IsZero() && r.table.seconds(got) < float64(r.table.rows-1)*rowSeconds-10 {
			rt.Fatalf("off by %s, but no moment is hot", got)
		}
	})
}

// Window returns when the walk may start on its day, without the rest of the plan. The
// planned start of the input only says which day it is.
func Window(in Input) (StartWindow, error) {
	if err := in.Validate(); err != nil {
		return StartWindow{}, err
	}
	r, err := newRoute(in)
	if err != nil {
		return StartWindow{}, err
	}
	return r.window(), nil
}

// Every input that an explanation names exists, and those that are figures themselves are figures of the plan.
func TestExplanationsReferToInputsThatExist(t *testing.T) {
	known := map[string]string{}
	for _, i := range namedInputs(Input{}, Plan{}) {
		known["{"+i.name+"}"] = i.key
	}
	keys := map[string]bool{}
	for _, f := range planFigures() {
		keys[f.key] = true
	}
	used := map[string]bool{}
	for _, f := range append(planFigures(), yearFigures()...) {
		for _, name := range regexp.MustCompile(`\{\w+\}`).FindAllString(f.inputs, -1) {
			key, is := known[name]
			if used[name] = true; !is || key != "" && !keys[key] {
				t.Errorf("%s names the input %s (%s), which does not exist", f.key, name, key)
			}
		}
	}
	for name := range known {
		if !used[name] {
			t.Errorf("no figure names the input %s", name)
		}
	}
}
