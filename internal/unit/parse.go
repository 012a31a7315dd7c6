package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// suffix is one way to write a unit, with its conversion to the base unit.
type suffix struct {
	text  string
	apply func(float64) float64
}

func times(factor float64) func(float64) float64 {
	return func(v float64) float64 { return v * factor }
}

// Longer suffixes come first, so that "km/h" is never read as "m/h" or "h".
var (
	temperatureSuffixes = []suffix{
		{"\u00b0c", times(1)}, {"\u00b0f", func(v float64) float64 { return Fahrenheit(v).Celsius() }},
		{"c", times(1)}, {"f", func(v float64) float64 { return Fahrenheit(v).Celsius() }},
	}
	speedSuffixes = []suffix{
		{"km/h", times(float64(KilometrePerHour))}, {"kph", times(float64(KilometrePerHour))},
		{"mph", times(float64(MilePerHour))}, {"mi/h", times(float64(MilePerHour))},
		{"m/s", times(1)},
	}
)

// ParseTemperature reads "33C" or "91F" (a degree sign and spaces are allowed).
func ParseTemperature(s string) (Temperature, error) {
	v, err := parse("temperature", s, temperatureSuffixes, "33C or 91F")
	return Temperature(v), err
}

// ParseSpeed reads "2m/s", "7km/h" or "5mph".
func ParseSpeed(s string) (Speed, error) {
	v, err := parse("speed", s, speedSuffixes, "2m/s, 7km/h or 5mph")
	return Speed(v), err
}

func parse(what, s string, suffixes []suffix, examples string) (float64, error) {
	text := strings.ToLower(strings.ReplaceAll(strings.TrimSpace(s), " ", ""))
	for _, x := range suffixes {
		number, found := strings.CutSuffix(text, x.text)
		if !found {
			continue
		}
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			break
		}
		return x.apply(v), nil
	}
	return 0, fmt.Errorf("%q is not a %s: write a number and its unit, such as %s", s, what, examples)
}

// ParseFraction reads a share as "0.12" or "12%".
func ParseFraction(s string) (Fraction, error) {
	text := strings.ReplaceAll(strings.TrimSpace(s), " ", "")
	number, percent := strings.CutSuffix(text, "%")
	v, err := strconv.ParseFloat(number, 64)
	if percent {
		v /= 100
	}
	if err != nil || !(v >= 0 && v <= 1) {
		return 0, fmt.Errorf("%q is not a share: write 0.12 or 12%%, between nothing and all", s)
	}
	return Fraction(v), nil
}
