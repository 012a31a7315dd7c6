package heat

import (
	"fmt"

	"saltbush/internal/unit"
)

// Air is the weather around a walker at one moment. Wind is at 2 m (see WindAt2m), Solar is on level ground, Direct
// its direct share (see Sunshine), and Zenith the angle of the Sun from overhead. For shade, lower Solar.
type Air struct {
	Temperature unit.Temperature
	Humidity    unit.Fraction
	Pressure    unit.Pressure
	Wind        unit.Speed
	Solar       unit.Irradiance
	Direct      unit.Fraction
	Zenith      unit.Angle
}

// Our judgment: more than the weather that people walk in, from above the records of hot deserts to colder than any
// hike, and from the highest pressure at sea level to 5500 m. Solar allows for cloud edges, which for minutes are
// brighter than a clear sky.
var ranges = [...]bound{
	{"air temperature", " C", -40, 60},
	{"humidity", "", 0, 1},
	{"pressure", " hPa", 500, 1100},
	{"wind at 2 m", " m/s", 0, 60},
	{"sunshine", " W/m2", 0, 1500},
	{"direct share of the sunshine", "", 0, 1},
	{"zenith angle of the sun", " degrees", 0, 180},
}

// check returns an error that names the first input out of range.
func (a Air) check() error {
	values := [...]float64{
		a.Temperature.Celsius(), float64(a.Humidity), a.Pressure.Hectopascals(),
		a.Wind.MetresPerSecond(), a.Solar.WattsPerSquareMetre(), float64(a.Direct), a.Zenith.Degrees(),
	}
	for i, v := range values {
		if !ranges[i].holds(v) {
			return ranges[i].refuse(v)
		}
	}
	return nil
}

// Globe is what the instruments of a WBGT station would show, and the WBGT from them.
type Globe struct {
	Globe, NaturalWetBulb, WBGT unit.Temperature
}

// WBGTFormula and WBGTSource explain WBGT and the air that it is given in a plan.
const (
	WBGTFormula = "0.7 natural wet bulb + 0.2 globe + 0.1 air"
	WBGTSource  = "Liljegren et al. 2008 (J Occup Environ Hyg 5:645-655); Haurwitz 1945 sky; Kasten and Czeplak 1980 " +
		"cloud; US EPA 2000 wind"
)

// WBGT returns the outdoor wet-bulb globe temperature by the model of Liljegren, Carhart, Lawday, Tschopp and Sharp
// 2008 (Journal of Occupational and Environmental Hygiene 5:645-655), which agreed with measurements within 1 K. An
// input out of range gives a *RangeError that names it; all other results are finite numbers.
func WBGT(a Air) (Globe, error) {
	if err := a.check(); err != nil {
		return Globe{}, err
	}
	s := newSurroundings(a)
	g := Globe{Globe: celsius(s.globe()), NaturalWetBulb: celsius(s.naturalWetBulb())}
	g.WBGT = Outdoor(g.NaturalWetBulb, g.Globe, a.Temperature)
	return g, nil
}

func celsius(kelvins float64) unit.Temperature { return unit.Celsius(kelvins - 273.15) }

// Outdoor weights the instruments as ISO 7243 and NIOSH 2016-106 do outdoors: 0.7, 0.2, 0.1.
func Outdoor(naturalWetBulb, globe, air unit.Temperature) unit.Temperature {
	return 0.7*naturalWetBulb + 0.2*globe + 0.1*air
}

// RangeError says which input is outside the range of a model. An input that is not a number is outside every range.
type RangeError struct {
	// Quantity names the input in plain words, such as "air temperature".
	Quantity         string
	unit             string
	value, low, high float64
}

// Error reads like "air temperature 71 C is outside -40 to 60 C".
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %.4g%s is outside %g to %g%s", e.Quantity, e.value, e.unit, e.low, e.high, e.unit)
}

// bound is the range of one input.
type bound struct {
	quantity, unit string
	low, high      float64
}

func (b bound) holds(v float64) bool { return v >= b.low && v <= b.high } // NaN fails

func (b bound) refuse(v float64) error {
	return &RangeError{Quantity: b.quantity, unit: b.unit, value: v, low: b.low, high: b.high}
}
