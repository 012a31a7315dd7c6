package supply_test

import (
	"fmt"
	"testing"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

func TestCeilings(t *testing.T) {
	// TB MED 507 [F]: 1 1/2 qt/h. NIOSH 2017-126 [F]: 48 oz an hour.
	near(t, "1.5 qt/h", supply.MaxDrinking.USQuartsPerHour(), 1.5, 0.005)
	near(t, "48 oz", supply.MaxDrinking.LitresPerHour(), 48*unit.USFluidOunce.Litres(), 0.005)
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

// NIOSH 2017-126 [F]: 8 oz every 15 to 20 min, 24 to 32 oz an hour, for work in heat. The ration for moderate and
// hard work is in that range in every category of the table.
func TestDrinkIsInTheRangeForWorkInHeat(t *testing.T) {
	low, high := 24*unit.USFluidOunce.Litres(), 32*unit.USFluidOunce.Litres()
	for wbgt := unit.Temperature(26); wbgt <= 36; wbgt++ {
		for _, p := range []unit.Power{425, 600} {
			if got := supply.Drink(wbgt, p, false).LitresPerHour(); got < low-0.001 || got > high+0.001 {
				t.Errorf("%v C and %v W: %.3f L/h, want %.3f to %.3f", wbgt, p.Watts(), got, low, high)
			}
		}
	}
}

// ISO 7933:2004, the worked cases of its annex in which the radiant temperature equals the air's [F2]: 8 h, 75 kg and
// 1.80 m, so 1.94 m2 (DuBois and DuBois 1916); water lost in grams. Drinking should be near the loss, for people used
// to heat or not. The WBGT is ours, without sun. The bounds were set after seeing the ratios, and catch only
// mistakes.
func TestDrinkAgainstPredictedSweat(t *testing.T) {
	for _, tt := range []struct{ air, humidity, wind, mets, loss float64 }{
		{40, 33.85, 0.3, 2.58, 6166.4},
		{35, 71, 0.3, 2.58, 6934.6},
		{35, 53.3, 1.0, 2.58, 3891.8},
		{43, 34.7, 0.3, 1.77, 6765.1},
		{35, 53.3, 0.3, 3.54, 7235.9},
		{34, 56.3, 0.3, 2.58, 5547.7},
		{40, 40.63, 0.3, 2.58, 6683.4},
		{40, 40.63, 0.3, 2.58, 5379.1},
	} {
		g, err := heat.WBGT(heat.Air{
			Temperature: unit.Celsius(tt.air), Humidity: unit.Percent(tt.humidity).Fraction(),
			Pressure: 1013 * unit.Hectopascal, Wind: unit.Speed(tt.wind), Zenith: 180 * unit.Degree,
		})
		if err != nil {
			t.Fatal(err)
		}
		const wattsPerSquareMetre, skin = 58.15, 1.94 // of 1 met, ISO 8996; m2
		power := unit.Power(tt.mets * wattsPerSquareMetre * skin)
		drink := supply.Drink(g.WBGT, power, false)
		ratio(t, fmt.Sprintf("%+v, WBGT %.1f", tt, g.WBGT.Celsius()), drink.LitresPerHour(), tt.loss/1000/8, 0.70, 1.15)
	}
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

func TestCarryRoundsUpToHalfLiters(t *testing.T) {
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
