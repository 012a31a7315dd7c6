package supply_test

import (
	"fmt"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
	"testing"
)

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
