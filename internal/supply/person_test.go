package supply_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

func TestDrinkOf(t *testing.T) {
	quarter := unit.USQuart.Litres() / 4
	tests := []struct {
		name  string
		body  unit.Mass
		wbgt  unit.Temperature
		power unit.Power
		sunny bool
		want  float64
	}{
		{"the reference body itself", 75, 30, 425, false, 3 * quarter},
		{"a small body: two thirds would be 0.47, so the floor", 50, 30, 425, false, 0.5},
		{"a small body at a quart: no more than a quarter quart off [F]", 50, 31.5, 600, false, 3 * quarter},
		{"less small: by its mass", 70, 30, 425, false, 3 * quarter * 70 / 75},
		{"a large body: a third more is a quarter quart [F]", 100, 30, 425, false, 4 * quarter},
		{"never below the floor", 30, 18, 200, false, 0.5},
		{"in sun and heat what the body evaporates", 100, 33, 800, true, 1.42},
		{"small in sun and heat", 50, 33, 900, true, 900*3600/2.43e6 - quarter},
	}
	for _, tt := range tests {
		got := supply.DrinkOf(tt.body, 75, tt.wbgt, tt.power, tt.sunny)
		near(t, tt.name+", L/h", got.LitresPerHour(), tt.want, 1e-9)
	}
}

func TestDrinkRange(t *testing.T) {
	var bodies []float64
	for _, r := range supply.DrinkRange(75, 30, 425, true) {
		bodies = append(bodies, float64(r.Body))
		near(t, fmt.Sprintf("L/h of %g kg", float64(r.Body)), float64(r.Rate),
			float64(supply.DrinkOf(r.Body, 75, 30, 425, true)), 0)
	}
	if diff := cmp.Diff([]float64{50, 75, 100}, bodies); diff != "" {
		t.Errorf("bodies (-want +got):\n%s", diff)
	}
}

func TestALargerBodyNeverNeedsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small, large := pair(t, "body", 0, 400)
		cool, hot := pair(t, "wbgt", 0, 45)
		easy, hard := pair(t, "power", 0, 2000)
		sunny := rapid.Bool().Draw(t, "sunny")
		base := supply.DrinkOf(unit.Mass(small), 75, unit.Temperature(cool), unit.Power(easy), sunny)
		if !(base >= supply.Floor && base <= supply.MaxDrinking) {
			t.Errorf("%v L/h, want between the floor and the ceiling", base)
		}
		for name, rate := range map[string]unit.Flow{
			"larger": supply.DrinkOf(unit.Mass(large), 75, unit.Temperature(cool), unit.Power(easy), sunny),
			"hotter": supply.DrinkOf(unit.Mass(small), 75, unit.Temperature(hot), unit.Power(easy), sunny),
			"harder": supply.DrinkOf(unit.Mass(small), 75, unit.Temperature(cool), unit.Power(hard), sunny),
			"in sun": supply.DrinkOf(unit.Mass(small), 75, unit.Temperature(cool), unit.Power(easy), true),
		} {
			if rate < base-1e-12 {
				t.Errorf("%s needs %v L/h, less than %v", name, rate, base)
			}
		}
	})
}

func TestWeighLoad(t *testing.T) {
	tests := []struct {
		name   string
		body   unit.Mass
		kit    unit.Mass
		water  unit.Volume
		remark string
	}{
		{"light", 75, 3, 4, ""},
		{"desert water for 60 kg, 11.7 % [C]", 60, 3, 4, "12 %"},
		{"a child with an adult's water", 30, 2.5, 4, "shorter way"},
	}
	for _, tt := range tests {
		load, err := supply.WeighLoad(tt.body, tt.kit, tt.water)
		if err != nil {
			t.Fatal(err)
		}
		if tt.remark == "" && load.Remark != "" || !strings.Contains(load.Remark, tt.remark) {
			t.Errorf("%s: remark %q, want %q in it", tt.name, load.Remark, tt.remark)
		}
		if load.Remark != "" && !strings.Contains(load.Remark, "Do not leave water") {
			t.Errorf("%s: remark %q does not keep the water", tt.name, load.Remark)
		}
	}
	_, err := supply.WeighLoad(0, 3, 4)
	names(t, err, "body mass")
}

// sawWater lists two sure places and a doubtful spring between them.
func sawWater() []supply.Refill {
	return []supply.Refill{
		{Name: "tank", Along: 4000, After: 90 * time.Minute, Sure: true},
		{Name: "spring", Along: 6000, After: 150 * time.Minute},
		{Name: "tap", Along: 9000, After: 4 * time.Hour, Sure: true},
	}
}

func TestFillings(t *testing.T) {
	got, err := supply.Fillings(0.9, 5*time.Hour, sawWater())
	if err != nil {
		t.Fatal(err)
	}
	want := []supply.Filling{
		{Until: 90 * time.Minute, Carry: 1.5}, // 1.35 L
		// 2.25 L: the spring counts as dry
		{Name: "tank", Along: 4000, After: 90 * time.Minute, Until: 4 * time.Hour, Carry: 2.5},
		{Name: "tap", Along: 9000, After: 4 * time.Hour, Until: 5 * time.Hour, Carry: 1}, // 0.9 L
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("fillings (-want +got):\n%s", diff)
	}
	if bring := supply.BottlesToBring(got); bring != 2.5 {
		t.Errorf("bottles for %v L, want 2.5", bring)
	}
	dry, err := supply.Fillings(0.9, 5*time.Hour, nil)
	if err != nil || len(dry) != 1 || dry[0].Carry != supply.Carry(0.9, 5*time.Hour) {
		t.Errorf("without water on the way: %+v, %v", dry, err)
	}
}

func TestFillingsRefuseByName(t *testing.T) {
	tests := []struct {
		name  string
		spoil func([]supply.Refill)
		want  string
	}{
		{"no name", func(r []supply.Refill) { r[1].Name = "" }, "no name"},
		{"back along the way", func(r []supply.Refill) { r[1].Along = 10 }, "spring at 10 m"},
		{"no place", func(r []supply.Refill) { r[1].Along = unit.Length(nan) }, "spring at NaN m"},
		{"before the one before", func(r []supply.Refill) { r[2].After = time.Hour }, "tap after 1h"},
		{"beyond the end", func(r []supply.Refill) { r[2].After = 6 * time.Hour }, "tap after 6h"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			refills := sawWater()
			tt.spoil(refills)
			_, err := supply.Fillings(0.9, 5*time.Hour, refills)
			names(t, err, tt.want)
		})
	}
	_, err := supply.Fillings(0.9, 0, nil)
	names(t, err, "duration")
}

// Nobody runs dry between two sure places, water on the way never needs bigger bottles, and the fillings add up to at
// least the need.
func TestFillingsCoverTheNeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := unit.Flow(rapid.Float64Range(0, 1.42).Draw(t, "rate"))
		end := time.Duration(rapid.Int64Range(int64(time.Hour), int64(12*time.Hour)).Draw(t, "end"))
		var refills []supply.Refill
		after := time.Duration(0)
		for i := range rapid.IntRange(0, 4).Draw(t, "refills") {
			after += time.Duration(rapid.Float64Range(0, 0.25).Draw(t, "on") * float64(end))
			refills = append(refills, supply.Refill{Name: fmt.Sprint(i), Along: unit.Length(i), After: after,
				Sure: rapid.Bool().Draw(t, "sure")})
		}
		got, err := supply.Fillings(rate, end, refills)
		if err != nil {
			t.Fatal(err)
		}
		carried := 0.0
		for _, f := range got {
			carried += f.Carry.Litres()
			if need := rate.LitresPerHour() * (f.Until - f.After).Hours(); f.Carry.Litres() < need-0.0002 {
				t.Errorf("from %q %v L for a need of %v", f.Name, f.Carry, need)
			}
		}
		if need := rate.LitresPerHour() * end.Hours(); carried < need-0.001 {
			t.Errorf("%v L in all for a need of %v", carried, need)
		}
		if most, dry := supply.BottlesToBring(got), supply.Carry(rate, end); most > dry {
			t.Errorf("bottles for %v L, more than the %v without any refill", most, dry)
		}
	})
}
