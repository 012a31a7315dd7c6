package supply_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// Trade case: not enough water at the trailhead. Two people have 1.0 L each; 3.0 L are in the car.
func twoShort(need unit.Volume) []supply.Walker {
	return []supply.Walker{
		{Name: "Ines", Need: need, Holds: need + 2},
		{Name: "Bram", Need: need, Holds: 1},
		{Name: "Tova", Need: need, Holds: 1},
	}
}

func TestShare(t *testing.T) {
	giver := twoShort(3)
	giver[0].Gives = 1
	tests := []struct {
		name    string
		walkers []supply.Walker
		stock   unit.Volume
		want    supply.Sharing
	}{
		{
			"full route, 5.0 each: three litres do not cure even one", twoShort(5), 3,
			supply.Sharing{Go: []supply.Portion{{"Ines", 0}}, Stay: []string{"Bram", "Tova"}, Spare: 3},
		},
		{
			"short option, 3.0 each: one of the two, and the leader sees the tie", twoShort(3), 3,
			supply.Sharing{Go: []supply.Portion{{"Ines", 0}, {"Bram", 2}}, Stay: []string{"Tova"},
				Tied: []string{"Bram", "Tova"}, Spare: 1},
		},
		{
			"short option with a litre given: both", giver, 3,
			supply.Sharing{Go: []supply.Portion{{"Ines", 0}, {"Bram", 2}, {"Tova", 2}}},
		},
		{
			"least lack first, so that most can go",
			[]supply.Walker{{Name: "far", Need: 4}, {Name: "near", Need: 4, Holds: 3},
				{Name: "mid", Need: 4, Holds: 2}}, 3.5,
			supply.Sharing{Go: []supply.Portion{{"near", 1}, {"mid", 2}}, Stay: []string{"far"}, Spare: 0.5},
		},
		{"nobody", nil, 3, supply.Sharing{Spare: 3}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := supply.Share(tt.walkers, tt.stock)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("Share(%+v, %v) (-want +got):\n%s", tt.walkers, tt.stock, diff)
			}
		})
	}
}

func TestShareIgnoresRoundingErrors(t *testing.T) {
	got, err := supply.Share([]supply.Walker{{Name: "Ola", Need: 0.3}}, 0.3-1e-12)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Go) != 1 {
		t.Errorf("%+v, want Ola to go", got)
	}
}

func TestShareRefusesImpossibleAmounts(t *testing.T) {
	tests := []struct {
		name   string
		walker supply.Walker
		stock  unit.Volume
		want   string
	}{
		{"stock below nothing", supply.Walker{}, -1, "stock"},
		{"stock no number", supply.Walker{}, unit.Volume(nan), "stock"},
		{"need below nothing", supply.Walker{Name: "Ola", Need: -1}, 0, "Ola: need"},
		{"holds no number", supply.Walker{Name: "Ola", Holds: unit.Volume(nan)}, 0, "Ola: holds"},
		{"gives what is needed", supply.Walker{Name: "Ola", Need: 3, Holds: 4, Gives: 2}, 0, "Ola: gives 2"},
		{"gives while short", supply.Walker{Name: "Ola", Need: 3, Holds: 1, Gives: 0.5}, 0, "Ola: gives 0.5"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := supply.Share([]supply.Walker{tt.walker}, tt.stock)
			names(t, err, tt.want)
		})
	}
}

func TestFood(t *testing.T) {
	tests := []struct {
		name  string
		power unit.Power
		hours float64
		carry unit.Energy
	}{
		{"easy: the low end", 250, 4, 400},
		{"hard: the upper end", 600, 4, 800},
		{"half way", 425, 4, 600},
		{"rounded up to 50", 425, 3.1, 500},
		{"harder than hard", 900, 2, 400},
	}
	for _, tt := range tests {
		low, high, carry := supply.Food(tt.power, hours(tt.hours))
		if low != 100 || high != 200 || carry != tt.carry {
			t.Errorf("%s: %v to %v, carry %v, want 100 to 200, carry %v", tt.name, low, high, carry, tt.carry)
		}
	}
}

func TestFoodStaysBelowTheSpend(t *testing.T) {
	for _, p := range []unit.Power{0, 50, 100, 300, 600, 1000} {
		low, high, _ := supply.Food(p, hours(1))
		if low > high || high > p.PerHour() {
			t.Errorf("%v W: %v to %v kcal/h, want not above the %v spent", p.Watts(), low, high, p.PerHour())
		}
	}
}

func TestLoadReference(t *testing.T) {
	// Reference sheet, load: 4 L + 3 kg kit for 60 kg [C]; 12 people at 4 L [C].
	share, err := supply.LoadShare(60, 3, 4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "load, %", float64(share.Percent()), 11.7, 0.05)
	if share <= supply.LoadWarning {
		t.Errorf("load share %v is not above the warning", share)
	}
	near(t, "group water, kg", float64(supply.WaterMass(12*4)), 48, 1e-9)
}

func TestLoadShareRefusesByName(t *testing.T) {
	for i, want := range []string{"body mass", "kit", "water"} {
		values := [3]float64{60, 3, 4}
		for _, bad := range []float64{-1, nan, 1e6} {
			values[i] = bad
			_, err := supply.LoadShare(unit.Mass(values[0]), unit.Mass(values[1]), unit.Volume(values[2]))
			t.Run(fmt.Sprint(want, bad), func(t *testing.T) { names(t, err, want) })
		}
	}
}
