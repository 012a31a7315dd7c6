package walk_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// hill is a walk of two kilometers up and two down.
func hill() []walk.Leg {
	return []walk.Leg{
		{Length: 1 * unit.Kilometre, Slope: 0.1},
		{Length: 1 * unit.Kilometre, Slope: 0.2, Surface: walk.Rocky},
		{Length: 1 * unit.Kilometre, Slope: -0.2, Surface: walk.Rocky},
		{Length: 1 * unit.Kilometre, Slope: -0.1},
	}
}

func estimate(t testing.TB, legs []walk.Leg, party walk.Party) walk.Estimate {
	t.Helper()
	e, err := walk.NewEstimate(legs, party)
	if err != nil {
		t.Fatalf("NewEstimate(%d legs, %+v): %v", len(legs), party, err)
	}
	return e
}

// Trade case: a late start. P50 3:45 at sigma 0.20 gives P90 4:51 (3:45 x 1.292); with a start at 07:05 they are back
// by 10:50 and 11:56, with one at 06:30 by 11:21.
func TestLateStartMovesTheClock(t *testing.T) {
	e, err := walk.AboutP50(3*time.Hour+45*time.Minute, 0.20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "P90/P50", e.P90.Hours()/e.P50.Hours(), 1.292, 0.0005)
	day := time.Date(2026, 6, 20, 0, 0, 0, 0, time.UTC)
	late, planned := day.Add(7*time.Hour+5*time.Minute), day.Add(6*time.Hour+30*time.Minute)
	tests := []struct {
		name string
		at   time.Time
		want string
	}{
		{"late start P50", late.Add(e.P50), "10:50"},
		{"late start P90", late.Add(e.P90), "11:56"},
		{"planned start P50", planned.Add(e.P50), "10:15"},
		{"planned start P90", planned.Add(e.P90), "11:21"},
	}
	for _, tt := range tests {
		if got := tt.at.Round(time.Minute).Format("15:04"); got != tt.want {
			t.Errorf("%s back %s, want %s", tt.name, got, tt.want)
		}
	}
}

func TestOnePersonAloneFollowsTheCurve(t *testing.T) {
	e := estimate(t, []walk.Leg{{Length: 5 * unit.Kilometre}}, walk.Party{Participants: 1})
	// Campbell 2022 median on the level, 1.148 m/s [C] to 0.001: 5 km in 72.6 min.
	near(t, "minutes walking", e.MovingP50.Minutes(), 5000/1.148/60, 0.07)
	// Ten minutes in each hour out leave fifty of walking.
	near(t, "break share", e.Breaks.Hours()/e.MovingP50.Hours(), 10.0/50, 1e-9)
	if e.P50 != e.MovingP50+e.Breaks {
		t.Errorf("P50 %s, want walking and breaks %s", e.P50, e.MovingP50+e.Breaks)
	}
}

func TestGroupFactor(t *testing.T) {
	// Exact means of the largest of n normal values (Harter 1961, Biometrika 48:151-165; n 2 is 1/sqrt(pi), the rest
	// from memory [M]), at our spread of 0.08. Blom's form is within 0.03 of them, so the factor within 0.003.
	tests := []struct {
		name   string
		party  walk.Party
		middle float64
		line   float64
	}{
		{"one alone", walk.Party{Staff: 1}, 0, 1},
		{"two", walk.Party{Participants: 1, Staff: 1}, 0.56419, 1},
		{"ten", walk.Party{Participants: 8, Staff: 2}, 1.53875, 1},
		{"twenty is above twelve", walk.Party{Participants: 17, Staff: 3}, 1.86748, 1.10},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			want := math.Exp(0.08*tt.middle) * tt.line
			near(t, "factor", float64(tt.party.GroupFactor())/100, want, 0.0033)
		})
	}
	if got := (walk.Party{Participants: 1}).GroupFactor(); got != 100 {
		t.Errorf("one alone has a factor of %v %%, want exactly 100", got)
	}
}

func TestPartiesAboveTwelveTakeATenthLonger(t *testing.T) {
	twelve := walk.Party{Participants: 10, Staff: 2}.GroupFactor()
	thirteen := walk.Party{Participants: 11, Staff: 2}.GroupFactor()
	if ratio := float64(thirteen / twelve); ratio < 1.10 || ratio > 1.11 {
		t.Errorf("thirteen over twelve = %.4f, want 1.10 and a little for the slowest", ratio)
	}
}

func TestPaceAndSurfaceChangeTheTime(t *testing.T) {
	took := func(p walk.Pace, s walk.Surface) float64 {
		return estimate(t, []walk.Leg{{Length: 3000, Surface: s}}, walk.Party{Staff: 1, Pace: p}).MovingP50.Hours()
	}
	base := took(walk.Ordinary, walk.Firm)
	tests := []struct {
		name    string
		pace    walk.Pace
		surface walk.Surface
		want    float64
	}{
		{"gentle, house", walk.Gentle, walk.Firm, 1.25},
		{"brisk, house", walk.Brisk, walk.Firm, 0.85},
		{"no words at all", "", "", 1},
		{"rocky, Aitken 1977", walk.Ordinary, walk.Rocky, 1.25},
		{"wash, Irmischer and Clarke 2018", walk.Ordinary, walk.Wash, 1.096 / 0.779},
		{"loose sand, Tobler 1993", walk.Ordinary, walk.LooseSand, 1 / 0.6},
		{"steps, house", walk.Ordinary, walk.Steps, 1.25},
	}
	for _, tt := range tests {
		near(t, tt.name, took(tt.pace, tt.surface)/base, tt.want, 1e-9)
	}
}

func TestBreaksOfTheSettings(t *testing.T) {
	s := walk.DefaultSettings()
	s.LongRest, s.Regroups = 20*time.Minute, 4
	legs := []walk.Leg{{Length: 5 * unit.Kilometre}}
	group, err := s.Estimate(legs, walk.Party{Participants: 6, Staff: 2})
	if err != nil {
		t.Fatal(err)
	}
	alone, err := s.Estimate(legs, walk.Party{Staff: 1})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "group's breaks beyond the hourly", (group.Breaks - group.MovingP50/5).Minutes(), 20+4*3, 1e-6)
	near(t, "one person waits at no junction", (alone.Breaks - alone.MovingP50/5).Minutes(), 20, 1e-6)
}

func TestReachEndsWithTheWalk(t *testing.T) {
	e := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	for _, q := range []unit.Fraction{0.1, 0.5, 0.9} {
		last := time.Duration(0)
		for i, end := range e.Ends {
			now := e.Reach(end, q)
			if now <= last {
				t.Errorf("leg %d ends at %s, not after %s", i, now, last)
			}
			last = now
		}
		if last != e.Quantile(q) {
			t.Errorf("last leg ends at %s, want %s", last, e.Quantile(q))
		}
	}
	if got := e.Reach(0, 0.5); got != 0 {
		t.Errorf("no work is done after %s, want 0", got)
	}
	if got := e.Reach(1, 0.9); got != e.P90 {
		t.Errorf("all work is done after %s, want P90 %s", got, e.P90)
	}
}

func TestEstimateSurvivesStorage(t *testing.T) {
	before, err := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2}).Update(0.4, h(0.9))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(before)
	if err != nil {
		t.Fatal(err)
	}
	var after walk.Estimate
	if err := json.Unmarshal(text, &after); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, after); diff != "" {
		t.Errorf("stored and read back (-before +after):\n%s", diff)
	}
}

func TestQuantileLimitsShares(t *testing.T) {
	e := estimate(t, hill(), walk.Party{Staff: 1})
	if got, want := e.Quantile(1), e.Quantile(0.999); got != want {
		t.Errorf("certainty = %s, want %s", got, want)
	}
	if got, want := e.Quantile(-3), e.Quantile(0.001); got != want {
		t.Errorf("less than nothing = %s, want %s", got, want)
	}
	if got, want := e.Quantile(unit.Fraction(math.NaN())), e.Quantile(0.999); got != want {
		t.Errorf("not a number = %s, want the late end %s", got, want)
	}
}

func TestBadInputIsRefusedByName(t *testing.T) {
	ok := walk.Party{Participants: 6, Staff: 2}
	nan := math.NaN()
	tests := []struct {
		name  string
		legs  []walk.Leg
		party walk.Party
		want  string
	}{
		{"no legs", nil, ok, "legs"},
		{"no length", []walk.Leg{{}}, ok, "no length"},
		{"backward leg", []walk.Leg{{Length: 10}, {Length: -1}}, ok, "leg 2: length -1"},
		{"length not a number", []walk.Leg{{Length: unit.Length(nan)}}, ok, "leg 1: length"},
		{"endless leg", []walk.Leg{{Length: unit.Length(math.Inf(1))}}, ok, "leg 1: length"},
		{"slope not a number", []walk.Leg{{Length: 10, Slope: unit.Slope(nan)}}, ok, "leg 1: slope"},
		{"cliff", []walk.Leg{{Length: 10, Slope: -5}}, ok, "leg 1: slope -5"},
		{"unknown surface", []walk.Leg{{Length: 10, Surface: "ice"}}, ok, `surface "ice"`},
		{"far too long", []walk.Leg{{Length: 200000}, {Length: 200000}, {Length: 200000}}, ok, "walking time"},
		{"nobody", hill(), walk.Party{}, "nobody"},
		{"negative staff", hill(), walk.Party{Participants: 5, Staff: -1}, "staff -1"},
		{"negative participants", hill(), walk.Party{Participants: -5, Staff: 6}, "participants -5"},
		{"a slip of the keyboard", hill(), walk.Party{Participants: 1500}, "1500"},
		{"overflowing party", hill(), walk.Party{Participants: math.MaxInt, Staff: math.MaxInt}, "party"},
		{"unknown pace", hill(), walk.Party{Staff: 1, Pace: "hurried"}, `pace "hurried"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := walk.NewEstimate(tt.legs, tt.party)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want it to name %q", err, tt.want)
			}
		})
	}
}

func TestBadSettingsAreRefusedByName(t *testing.T) {
	tests := []struct {
		name   string
		change func(*walk.Settings)
	}{
		{"rest per hour", func(s *walk.Settings) { s.RestPerHour = -1 }},
		{"long rest", func(s *walk.Settings) { s.LongRest = 48 * time.Hour }},
		{"regroups", func(s *walk.Settings) { s.Regroups = -1 }},
		{"wait at a regroup", func(s *walk.Settings) { s.RegroupEach = -1 }},
		{"sigma 0", func(s *walk.Settings) { s.Spread = walk.Spread{} }},
		{"sigma 1.1", func(s *walk.Settings) { s.Spread = walk.Spread{Person: 0.8, Day: 0.8} }},
		{"spread by person", func(s *walk.Settings) { s.Spread.Person = unit.Fraction(math.NaN()) }},
		{"spread by day", func(s *walk.Settings) { s.Spread.Day = -0.1 }},
		{"spread by route", func(s *walk.Settings) { s.Spread.Route = 1.5 }},
	}
	for _, tt := range tests {
		s := walk.DefaultSettings()
		tt.change(&s)
		_, err := s.Estimate(hill(), walk.Party{Staff: 1})
		if err == nil || !strings.Contains(err.Error(), tt.name) {
			t.Errorf("error %v, want it to name %q", err, tt.name)
		}
	}
}

func TestParseSurfaceAndPace(t *testing.T) {
	if p, err := walk.ParsePace(""); p != walk.Ordinary || err != nil {
		t.Errorf("no pace = %q, %v, want ordinary", p, err)
	}
	if p, err := walk.ParsePace("brisk"); p != walk.Brisk || err != nil {
		t.Errorf("brisk = %q, %v", p, err)
	}
	if _, err := walk.ParsePace("Brisk"); err == nil {
		t.Error("Brisk with a capital was read")
	}
	if s, err := walk.ParseSurface("loose sand"); s != walk.LooseSand || err != nil {
		t.Errorf("loose sand = %q, %v", s, err)
	}
	if _, err := walk.ParseSurface("ice"); err == nil {
		t.Error("ice was read")
	}
}

func TestSurfacesAreListedEasiestFirst(t *testing.T) {
	last := time.Duration(0)
	for _, s := range walk.Surfaces() {
		if got, err := walk.ParseSurface(string(s)); got != s || err != nil {
			t.Errorf("surface %q is read as %q, %v", s, got, err)
		}
		took := estimate(t, []walk.Leg{{Length: 3000, Surface: s}}, walk.Party{Staff: 1}).MovingP50
		if took < last {
			t.Errorf("surface %q takes %s, less than the one listed before it", s, took)
		}
		last = took
	}
}
