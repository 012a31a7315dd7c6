package plan_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// lowDesert holds invented normals like those of a low desert with summer storms.
const lowDesert = `month, low, high, dewpoint, wind, cloud, hot_by
1, 5C, 19C, -2C, 2m/s, 35%
2, 7C, 22C, -2C, 2.2m/s, 35%
3, 10C, 26C, -1C, 2.6m/s, 30%, 6C
4, 14C, 31C, -2C, 3m/s, 20%
5, 19C, 36C, 0C, 3m/s, 15%
6, 24C, 41C, 3C, 2.8m/s, 10%
7, 27C, 41C, 15C, 3m/s, 35%
8, 27C, 40C, 16C, 2.8m/s, 35%
9, 23C, 38C, 11C, 2.5m/s, 20%
10, 16C, 32C, 5C, 2.2m/s, 15%
Nov, 48F, 77F, 34F, 5mph, 25%, 10F
December, 5C, 19C, -1C, 1.9m/s, 35%
`

func normalsOf(t testing.TB, text string) plan.Normals {
	t.Helper()
	n, err := plan.ReadNormals(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// easy is a short easy walk of a few people, which can be led at some hours in most months.
func easy(t testing.TB) plan.Input {
	in := ordinary(t)
	in.Profile = ramp(t, 2500, 0.04)
	in.Party = walk.Party{Participants: 6, Staff: 2, Pace: walk.Ordinary}
	return in
}

// Every answer of a year is the one that Compute gives for that start, and so are its windows: brute force over
// random walks, months and hours.
func TestYearIsComputedStartByStart(t *testing.T) {
	normals := normalsOf(t, lowDesert)
	rapid.Check(t, func(rt *rapid.T) {
		in := easy(t)
		in.Profile = ramp(t, unit.Length(rapid.IntRange(600, 6000).Draw(rt, "length")),
			unit.Slope(rapid.Float64Range(-0.1, 0.2).Draw(rt, "slope")))
		in.Acclimatized = rapid.Bool().Draw(rt, "acclimatised")
		y, err := plan.Year(in, normals)
		if err != nil {
			rt.Fatal(err)
		}
		month := y.Months[rapid.IntRange(0, 11).Draw(rt, "month")]
		cell := month.Starts[rapid.IntRange(0, len(month.Starts)-1).Draw(rt, "start")]
		in.Start = cell.At.Time
		for _, day := range []struct {
			name string
			day  *plan.YearDay
			got  plan.Decision
		}{{"usual", month.Usual, cell.Usual}, {"hot", month.Hot, cell.Hot}} {
			in.Forecast = day.day.Forecast
			p := compute(t, in)
			if p.Verdict.Decision != day.got {
				rt.Fatalf("%s day, %s: the year says %s, the plan %s %q",
					day.name, in.Start, day.got, p.Verdict.Decision, p.Verdict.Reasons)
			}
			w := plan.StartWindow{Earliest: day.day.Earliest, Latest: day.day.Latest, Care: day.day.Care,
				Limits: day.day.Limits}
			if d := cmp.Diff(p.Window, w, cmpopts.IgnoreFields(plan.StartWindow{}, "Best", "Starts"),
				sameInstant()); d != "" {
				rt.Fatalf("%s day of %s: window (-plan +year)\n%s", day.name, month.Month, d)
			}
		}
	})
}

func sameInstant() cmp.Option {
	return cmp.Comparer(func(a, b plan.Instant) bool { return a.Equal(b.Time) })
}

func TestYearOfALowDesertTrail(t *testing.T) {
	y, err := plan.Year(easy(t), normalsOf(t, lowDesert))
	if err != nil {
		t.Fatal(err)
	}
	at := func(m time.Month, hour int) plan.YearStart {
		i := slices.IndexFunc(y.Months[m-1].Starts, func(s plan.YearStart) bool { return s.At.Hour() == hour })
		return y.Months[m-1].Starts[i]
	}
	for _, c := range []struct {
		name  string
		month time.Month
		hour  int
		want  plan.Answer
		limit string
		by    string
	}{
		{"a cool forenoon", time.January, 9, plan.MayBeLed, "", plan.UsualDay},
		{"before first light", time.January, 5, plan.WithCare, "first light", plan.UsualDay},
		{"too late for the light", time.December, 17, plan.Not, "daylight", plan.UsualDay},
		{"summer noon", time.July, 12, plan.Not, "house ladder", plan.UsualDay},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := at(c.month, c.hour)
			if got.Answer != c.want || got.Limit != c.limit || got.DecidedBy != c.by {
				t.Errorf("%s %d:00: %+v, want %s, %q by the %s", c.month, c.hour, got, c.want, c.limit, c.by)
			}
		})
	}
	// Somewhere in the year the hot day alone is graver, and decides.
	byHot := 0
	for _, m := range y.Months {
		for _, s := range m.Starts {
			if s.DecidedBy == plan.HotDay {
				byHot++
			}
		}
	}
	if byHot == 0 {
		t.Error("no start of the year is decided by a hot day")
	}
	if by := y.Months[time.March-1]; by.Hot.Forecast.High-by.Usual.Forecast.High != 6 {
		t.Errorf("March's hot day is %v hotter, want the typed 6 C", by.Hot.Forecast.High-by.Usual.Forecast.High)
	}
}

func TestYearNamesUnknownMonths(t *testing.T) {
	y, err := plan.Year(easy(t), plan.Normals{time.May: {Low: 19, High: 36, DewPoint: 0, Wind: 3}})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range y.Months {
		if known := m.Month == time.May; m.Known != known || (len(m.Starts) > 0) != known || (m.Usual != nil) != known {
			t.Errorf("%s: known %t with %d starts, want %t", m.Month, m.Known, len(m.Starts), known)
		}
	}
	if text := strings.Join(y.Notes, " "); !strings.Contains(text,
		"No normals for January, February, March, April, June") {
		t.Errorf("notes %q do not name the months that are not known", text)
	}
}

func TestNormalsAreReadAsWritten(t *testing.T) {
	n := normalsOf(t, lowDesert)
	if len(n) != 12 {
		t.Fatalf("%d months, want 12", len(n))
	}
	again := normalsOf(t, n.Text())
	if d := cmp.Diff(n, again, cmp.Comparer(alike),
		cmp.Comparer(func(a, b unit.Speed) bool { return math.Abs(float64(a-b)) < 0.06 })); d != "" {
		t.Errorf("read again from their own text (-first +again)\n%s", d)
	}
	if nov := n[time.November]; nov.HotBy < 5.5 || nov.HotBy > 5.6 || nov.High != 25 {
		t.Errorf("November in Fahrenheit is %+v", nov)
	}
	humid := normalsOf(t, "cloud,month,wind,humidity,high,low\n0,May,2m/s,12%,36C,19C\n,Jun\n,\n")
	if may := humid[time.May]; len(humid) != 1 || may.DewPoint < 1 || may.DewPoint > 4 {
		t.Errorf("humidity of 12 %% at 36 C gives %+v, want a dew point of about 3 C", humid)
	}
}

// alike compares to the tenth of a degree to which the text is written.
func alike(a, b unit.Temperature) bool { return math.Abs(float64(a-b)) < 0.06 }

func TestBadNormalsAreRefusedByLineAndColumn(t *testing.T) {
	const head = "month,low,high,dewpoint,wind,cloud\n"
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "line 1: nothing is written here"},
		{"no unit", head + "5,19C,36,0C,3m/s,15%", "line 2, column high: \"36\" is not a temperature"},
		{"low above high", head + "5,19C,36C,0C,3m/s,15%\n6,42C,41C,3C,3m/s,10%",
			"line 3, column low: 42.0 C is above the high"},
		{"damp above warm", head + "5,19C,36C,37C,3m/s,15%", "line 2, column dewpoint: "},
		{"no such month", head + "13,19C,36C,0C,3m/s,15%", "line 2, column month: \"13\" is not a month"},
		{"month twice", head + "5,19C,36C,0C,3m/s,15%\nMay,19C,36C,0C,3m/s,15%",
			"line 3, column month: May is there already"},
		{"no such column", "month,low,high,dewpoint,wind,cloud,rain\n", "line 1, column 7: \"rain\" is none of"},
		{"a column is missing", "month,low,high,wind,cloud\n", "line 1: a column dewpoint or humidity is missing"},
		{"too many figures", head + "5,19C,36C,0C,3m/s,15%,7,8", "line 2: has 8 figures for 6 columns"},
		{"an open quote", head + "5,\"19C,36C", "line 2, column "},
		{"no moisture", "month,low,high,humidity,wind,cloud\n5,19C,36C,0%,3m/s,15%",
			"line 2, column humidity: air has some moisture"},
		{"only a head", head, "line 2: no month has figures"},
		{"endless", head + strings.Repeat("5,19C,36C,0C,3m/s,15%\n", 80), "longer than a head and twelve months"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n, err := plan.ReadNormals(strings.NewReader(c.text))
			var at *plan.NormalsError
			if n != nil || !errors.As(err, &at) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v %v, want a refusal that says %q", n, err, c.want)
			}
		})
	}
}

func BenchmarkYear(b *testing.B) {
	in := ordinary(b)
	in.Profile = wavy(b, 10_000)
	normals := normalsOf(b, lowDesert)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := plan.Year(in, normals); err != nil {
			b.Fatal(err)
		}
	}
}

// The lower bound for BenchmarkYear: one pass over the legs for each start of both days of each month.
func BenchmarkYearFloor(b *testing.B) {
	legs := wavy(b, 10_000).Legs()
	var sum unit.Length
	for b.Loop() {
		for range 12 * 2 * 18 {
			for _, l := range legs {
				sum += l.Rise
			}
		}
	}
	_ = sum
}
