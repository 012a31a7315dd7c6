package unit_test

import (
	"encoding/json"
	"math"
	"testing"

	"saltbush/internal/unit"
)

// Conversions that are exact by definition: international foot and mile (1959),
// avoirdupois pound, US quart (231/4 cubic inches), thermochemical kilocalorie.
func TestConversions(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		{"a mile in feet", unit.Mile.Feet(), 5280, 1e-9},
		{"a mile in metres", unit.Mile.Metres(), 1609.344, 0},
		{"a mile in kilometres", unit.Mile.Kilometres(), 1.609344, 1e-15},
		{"ten kilometres in miles", (10 * unit.Kilometre).Miles(), 6.213712, 5e-7},
		{"a foot in inches", float64(unit.Foot / unit.Inch), 12, 1e-12},
		{"a metre in centimetres", float64(unit.Metre / unit.Centimetre), 100, 1e-12},
		{"three miles an hour in m/s", (3 * unit.MilePerHour).MetresPerSecond(), 1.34112, 1e-12},
		{"4 km/h in m/s", (4 * unit.KilometrePerHour).MetresPerSecond(), 1.111111, 5e-7},
		{"1 m/s in km/h", unit.MetrePerSecond.KilometresPerHour(), 3.6, 1e-12},
		{"1 m/s in mph", unit.MetrePerSecond.MilesPerHour(), 2.236936, 5e-7},
		{"150 lb in kg", (150 * unit.Pound).Kilograms(), 68.0388555, 1e-9},
		{"70 kg in lb", (70 * unit.Kilogram).Pounds(), 154.323584, 5e-7},
		{"a gram in kg", unit.Gram.Kilograms(), 0.001, 0},
		{"a quart in litres", unit.USQuart.Litres(), 0.946352946, 0},
		{"a quart in fluid ounces", float64(unit.USQuart / unit.USFluidOunce), 32, 1e-12},
		{"1.5 qt/h in L/h", (1.5 * unit.USQuartPerHour).LitresPerHour(), 1.419529419, 1e-9},
		{"1 L/h in qt/h", unit.LitrePerHour.USQuartsPerHour(), 1.056688, 5e-7},
		{"an hour at 100 W in kcal", unit.Power(100).PerHour().KilocaloriesPerHour(), 86.042065, 5e-7},
		{"1 kcal/h in W", unit.KilocaloriePerHour.Watts(), 1.162222, 5e-7},
		{"104 F", unit.Fahrenheit(104).Celsius(), 40, 1e-12},
		{"-40 F", unit.Fahrenheit(-40).Celsius(), -40, 1e-12},
		{"100 C in F", unit.Celsius(100).Fahrenheit(), 212, 1e-12},
		{"0 C in K", unit.Celsius(0).Kelvin(), 273.15, 0},
		{"standard pressure in hPa", unit.Pressure(101325).Hectopascals(), 1013.25, 1e-9},
		{"180 degrees in radians", (180 * unit.Degree).Radians(), math.Pi, 1e-15},
		{"a quarter turn in degrees", unit.Angle(math.Pi / 2).Degrees(), 90, 1e-12},
		{"slope of 1 as an angle", unit.Slope(1).Angle().Degrees(), 45, 1e-12},
		{"falling slope keeps its sign", unit.Slope(-0.1).Angle().Degrees(), -5.710593, 5e-7},
		{"slope in percent", float64(unit.Slope(0.28).Percent()), 28, 1e-12},
		{"fraction in percent", float64(unit.Fraction(0.1).Percent()), 10, 1e-12},
		{"percent as a fraction", float64(unit.Percent(85).Fraction()), 0.85, 1e-12},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if math.Abs(tt.got-tt.want) > tt.tolerance {
				t.Errorf("got %v, want %v +- %v", tt.got, tt.want, tt.tolerance)
			}
		})
	}
}

func TestQuantitiesMarshalAsNumbersInTheirBaseUnit(t *testing.T) {
	got, err := json.Marshal(map[string]any{
		"celsius": unit.Fahrenheit(50), "metres": 2 * unit.Kilometre, "fraction": unit.Percent(25).Fraction(),
	})
	const want = `{"celsius":10,"fraction":0.25,"metres":2000}`
	if err != nil || string(got) != want {
		t.Errorf("got %s (%v), want %s", got, err, want)
	}
}
