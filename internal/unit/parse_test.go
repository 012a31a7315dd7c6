package unit_test

import (
	"math"
	"strings"
	"testing"

	"saltbush/internal/unit"
)

func temperature(s string) (float64, error) {
	v, err := unit.ParseTemperature(s)
	return v.Celsius(), err
}
func speed(s string) (float64, error)  { v, err := unit.ParseSpeed(s); return v.MetresPerSecond(), err }
func length(s string) (float64, error) { v, err := unit.ParseLength(s); return v.Metres(), err }
func mass(s string) (float64, error)   { v, err := unit.ParseMass(s); return v.Kilograms(), err }

func TestParse(t *testing.T) {
	tests := []struct {
		in    string
		parse func(string) (float64, error)
		want  float64
	}{
		{"33C", temperature, 33},
		{"104F", temperature, 40},
		{" 104 \u00b0F ", temperature, 40},
		{"-5.5\u00b0c", temperature, -5.5},
		{"2m/s", speed, 2},
		{"7.2 km/h", speed, 2},
		{"7.2kph", speed, 2},
		{"10mph", speed, 4.4704},
		{"10 mi/h", speed, 4.4704},
		{"120m", length, 120},
		{"3.2 km", length, 3200},
		{"400FT", length, 121.92},
		{"2mi", length, 3218.688},
		{"50cm", length, 0.5},
		{"10in", length, 0.254},
		{"70kg", mass, 70},
		{"150 lb", mass, 68.0388555},
		{"1e1kg", mass, 10},
	}
	for _, tt := range tests {
		t.Run(tt.in, func(t *testing.T) {
			got, err := tt.parse(tt.in)
			if err != nil || math.Abs(got-tt.want) > 1e-9 {
				t.Errorf("parse %q = %v, %v; want %v", tt.in, got, err, tt.want)
			}
		})
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		name, in string
		parse    func(string) (float64, error)
		says     string
	}{
		{"nothing", "", temperature, `"" is not a temperature: write a number and its unit, such as 33C or 91F`},
		{"no unit", "33", temperature, `"33" is not a temperature`},
		{"no number", "F", temperature, `"F" is not a temperature`},
		{"a word", "hot", temperature, `"hot" is not a temperature`},
		{"not a number", "NaNC", temperature, `"NaNC" is not a temperature`},
		{"infinite", "inf C", temperature, `"inf C" is not a temperature`},
		{"decimal comma", "3,2km", length, `"3,2km" is not a length: write a number and its unit, such as 120m, 3.2km, 400ft or 2mi`},
		{"two units", "5ft6in", length, `"5ft6in" is not a length`},
		{"unit of another quantity", "5kg", length, `"5kg" is not a length`},
		{"speed without per", "5km", speed, `"5km" is not a speed: write a number and its unit, such as 2m/s, 7km/h or 5mph`},
		{"length for mass", "70m", mass, `"70m" is not a mass: write a number and its unit, such as 70kg or 150lb`},
		{"beyond all numbers", "1e999kg", mass, `"1e999kg" is not a mass`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.parse(tt.in)
			if err == nil || !strings.HasPrefix(err.Error(), tt.says) || got != 0 {
				t.Errorf("parse %q = %v, %v; want 0 and %q", tt.in, got, err, tt.says)
			}
		})
	}
}
