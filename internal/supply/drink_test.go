package supply_test

import (
	"testing"
	"time"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

func TestCeilings(t *testing.T) {
	// TB MED 507 [F]: 1 1/2 qt/h, 12 qt/day. NIOSH 2017-126 [F]: 48 oz an hour.
	near(t, "1.5 qt/h", supply.MaxDrinking.USQuartsPerHour(), 1.5, 0.005)
	near(t, "48 oz", supply.MaxDrinking.LitresPerHour(), 48*unit.USFluidOunce.Litres(), 0.005)
	near(t, "12 qt", supply.MaxDay.USQuarts(), 12, 0.05)
	near(t, "gallon a day, NPS [F2], L", supply.DayFloor.Litres(), unit.USGallon.Litres(), 0.22)
}

func TestSecondOpinions(t *testing.T) {
	bands := supply.SecondOpinions()
	tests := []struct {
		name      string
		low, high float64
	}{{"NIOSH 2017-126 [F]", 0.71, 0.95}, {"ACSM 2007 [F2]", 0.4, 0.8}, {"NPS [F], half a quart to a quart", 0.473, 0.946}}
	if len(bands) != len(tests) {
		t.Fatalf("%d bands, want %d", len(bands), len(tests))
	}
	for i, tt := range tests {
		near(t, tt.name+" low", bands[i].Low.LitresPerHour(), tt.low, 0.005)
		near(t, tt.name+" high", bands[i].High.LitresPerHour(), tt.high, 0.005)
	}
	for rate, want := range map[unit.Flow]string{0.5: "below", 0.8: "within", unit.USQuartPerHour: "within", 1.2: "above"} {
		if got := bands[0].Place(rate); got != want {
			t.Errorf("%v L/h is %s NIOSH's band, want %s", rate, got, want)
		}
	}
}

func TestDrink(t *testing.T) {
	quart := unit.USQuart.Litres()
	tests := []struct {
		name  string
		wbgt  unit.Temperature
		power unit.Power
		sunny bool
		want  float64
	}{
		{"cool: the floor", 18, 300, false, 0.5},
		{"cool and sunny: a quarter quart more", 18, 300, true, 0.5 + quart/4},
		{"moderate, category 3, cloud [F]", 30, 425, false, 0.75 * quart},
		{"moderate, category 3, sun [F]", 30, 425, true, quart},
		{"very hard in sun: what evaporates", 33, 900, true, 900 * 3600 / 2.43e6},
		{"beyond any: the ceiling", 33, 1400, true, 1.42},
	}
	for _, tt := range tests {
		near(t, tt.name+", L/h", supply.Drink(tt.wbgt, tt.power, tt.sunny).LitresPerHour(), tt.want, 1e-9)
	}
}

func TestDrinkSweatingIsCapped(t *testing.T) {
	near(t, "raised to the loss", float64(supply.DrinkSweating(30, 425, true, 1.2)), 1.2, 1e-9)
	near(t, "never lowered", float64(supply.DrinkSweating(30, 425, true, 0.1)), float64(supply.Drink(30, 425, true)), 1e-9)
	near(t, "never above the ceiling", float64(supply.DrinkSweating(30, 425, true, 3)), 1.42, 1e-9)
	near(t, "no number", float64(supply.DrinkSweating(30, 425, true, unit.Flow(nan))), 1.42, 1e-9)
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

func TestCarryRoundsUpToHalfLitres(t *testing.T) {
	tenth, fifth := unit.Flow(0.1), unit.Flow(0.2)
	dusty := tenth + fifth // 0.30000000000000004 in floating point
	tests := []struct {
		name  string
		rate  unit.Flow
		hours float64
		want  unit.Volume
	}{
		{"trade case, full route: 4.56", 0.95, 4.8, 5.0},
		{"trade case, short option: 2.945", 0.95, 3.1, 3.0},
		{"trade case, 5 h", 0.95, 5, 5.0},
		{"exact stays", 0.5, 3, 1.5},
		{"float dust does not cost a bottle", dusty, 5, 1.5},
		{"a millilitre over does", 0.5, 3.002, 2.0},
		{"nothing", 0, 3, 0},
		{"below nothing", -1, 3, 0},
		{"no time", 0.5, -3, 0},
		{"no number counts as the ceiling", unit.Flow(nan), 1, 1.5},
	}
	for _, tt := range tests {
		if got := supply.Carry(tt.rate, hours(tt.hours)); got != tt.want {
			t.Errorf("%s: %v L, want %v L", tt.name, got, tt.want)
		}
	}
}

func TestGroupReserve(t *testing.T) {
	for persons, want := range map[int]unit.Volume{-1: 0, 0: 0, 1: 0, 2: 2, 8: 2, 9: 2.25, 16: 4} {
		if got := supply.GroupReserve(persons); got != want {
			t.Errorf("%d persons: %v L, want %v L", persons, got, want)
		}
	}
}

func TestBottles(t *testing.T) {
	tests := map[unit.Volume]string{
		0: "no bottle", -2: "no bottle", 0.5: "one bottle of 0.5 L", 1: "one bottle of 1 L",
		1.5: "one bottle of 1 L and one of 0.5 L", 2: "2 bottles of 1 L",
		3.5: "3 bottles of 1 L and one of 0.5 L", 3.2: "3 bottles of 1 L and one of 0.5 L",
		1.0000001: "one bottle of 1 L", unit.Volume(nan): "unknown: ask the leader",
	}
	for v, want := range tests {
		if got := supply.Bottles(v); got != want {
			t.Errorf("%v L: %q, want %q", v, got, want)
		}
	}
}

// Trade case: too much water. 5 h, the leader types 1.8 L/h.
func TestTooMuchWaterIsRefused(t *testing.T) {
	a, err := supply.CheckDrinking(1.8, 5*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if !a.Refused || a.Reason == "" {
		t.Errorf("1.8 L/h was not refused with a reason: %+v", a)
	}
	if a.Suggest > 0.95 || a.Carry != 5 {
		t.Errorf("suggests %v L/h and %v L, want at most 0.95 and 5.0", a.Suggest, a.Carry)
	}
	for _, want := range []string{"salty", "too much plain water"} {
		if !mentions(a.Cautions, want) {
			t.Errorf("cautions %q do not mention %q", a.Cautions, want)
		}
	}
}

func TestCheckDrinking(t *testing.T) {
	tests := []struct {
		name    string
		typed   unit.Flow
		hours   float64
		refused bool
		suggest unit.Flow
		caution string
	}{
		{"in the middle: as typed", 0.8, 5, false, 0.8, "salty"},
		{"a litre an hour is not yet questioned", 1.0, 5, false, 1.0, "salty"},
		{"above it is questioned", 1.1, 5, false, 0.95, "route too long"},
		{"the ceiling itself is no plan to refuse", 1.42, 5, false, 0.95, "plain water"},
		{"above the ceiling", 1.43, 1, true, 0.95, "plain water"},
		{"above the day's ceiling", 0.9, 14, true, 11.4 / 14.0, "salty"},
		{"hardly anything", 0.2, 3, false, 0.2, "less than any published"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, err := supply.CheckDrinking(tt.typed, hours(tt.hours))
			if err != nil {
				t.Fatal(err)
			}
			if a.Refused != tt.refused || (a.Reason != "") != tt.refused {
				t.Errorf("refused %v with reason %q, want %v", a.Refused, a.Reason, tt.refused)
			}
			near(t, "suggested L/h", float64(a.Suggest), float64(tt.suggest), 1e-9)
			if !mentions(a.Cautions, tt.caution) {
				t.Errorf("cautions %q do not mention %q", a.Cautions, tt.caution)
			}
		})
	}
}

func TestDrinkingThatCannotBeMeantIsRefusedByName(t *testing.T) {
	for _, typed := range []unit.Flow{0, -1, 50, unit.Flow(nan)} {
		_, err := supply.CheckDrinking(typed, time.Hour)
		names(t, err, "drinking rate")
	}
	for _, d := range []time.Duration{0, -time.Hour, 25 * time.Hour} {
		_, err := supply.CheckDrinking(0.8, d)
		names(t, err, "time")
	}
}

func TestClock(t *testing.T) {
	start := time.Date(2026, 6, 20, 5, 40, 0, 0, time.FixedZone("trailhead", -7*3600))
	times, err := supply.Clock(start, 2*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"06:10", "06:40", "07:10"} // not at the end, 07:40
	if len(times) != len(want) {
		t.Fatalf("%d times, want %d", len(times), len(want))
	}
	for i, at := range times {
		if got := at.Format("15:04"); got != want[i] {
			t.Errorf("stop %d at %s, want %s", i+1, got, want[i])
		}
	}
	if short, err := supply.Clock(start, 20*time.Minute); len(short) != 0 || err != nil {
		t.Errorf("20 minutes: %v, %v, want no stop", short, err)
	}
	_, err = supply.Clock(start, -time.Hour)
	names(t, err, "duration")
	_, err = supply.Clock(start, 9000*time.Hour)
	names(t, err, "duration")
	near(t, "L at each stop", supply.PerStop(0.9).Litres(), 0.45, 1e-9)
}
