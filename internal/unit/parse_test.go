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
func speed(s string) (float64, error) {
	v, err := unit.ParseSpeed(s)
	return v.MetresPerSecond(), err
}

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
		{"10MPH", speed, 4.4704},
		{"1e1m/s", speed, 10},
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
		{"decimal comma", "3,2C", temperature, `"3,2C" is not a temperature`},
		{"two units", "5km/h6m/s", speed, `"5km/h6m/s" is not a speed`},
		{"unit of another quantity", "5kg", speed, `"5kg" is not a speed`},
		{"speed without per", "5km", speed,
			`"5km" is not a speed: write a number and its unit, such as 2m/s, 7km/h or 5mph`},
		{"beyond all numbers", "1e999mph", speed, `"1e999mph" is not a speed`},
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
