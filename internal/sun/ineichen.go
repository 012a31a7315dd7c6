package sun

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// AirMass is how much air a sunbeam crosses, in multiples of the air straight overhead at
// sea level.
type AirMass float64

// Turbidity is the Linke turbidity: how many clean, dry atmospheres dim the Sun as much as
// the real one does. Desert air has 2 to 4.
type Turbidity float64

// Sky is the sunshine under a cloudless sky: on level ground in all, its diffuse part, and
// the beam on a surface that faces the Sun.
type Sky struct{ Global, Beam, Diffuse unit.Irradiance }

// ineichenConstant is what the model was fitted with, W/m2 (Ineichen and Perez 2002; pvlib).
const ineichenConstant = 1364

// Ineichen returns the clear sky of Ineichen and Perez 2002 (Solar Energy 73:151-157), in
// the form of the pvlib library: a second opinion on ClearSky for places whose turbidity is
// known. The air mass is absolute, that is for the place's pressure. Zero when the Sun is
// down; an input out of range is refused by its name.
func Ineichen(zenith unit.Angle, mass AirMass, turbidity Turbidity, height unit.Length) (Sky, error) {
	if err := checkSky(zenith, mass, turbidity, height); err != nil {
		return Sky{}, err
	}
	cosine := math.Cos(float64(zenith))
	if cosine <= 0 {
		return Sky{}, nil
	}
	h, am, tl := height.Metres(), float64(mass), float64(turbidity)
	f1, f2 := math.Exp(-h/8000), math.Exp(-h/1250)
	dimming := math.Exp(-(3.92e-5*h + 0.0387) * am * (f1 + f2*(tl-1)))
	global := (5.09e-5*h + 0.868) * ineichenConstant * cosine * dimming
	beam := ineichenConstant * (0.664 + 0.163/f1) * math.Exp(-0.09*am*(tl-1))
	// No more beam than the global leaves room for.
	room := global * max(0, 1-(0.1-0.2*math.Exp(-tl))/(0.1+0.882/f1)) / cosine
	beam = max(0, min(beam, room))
	return Sky{unit.Irradiance(global), unit.Irradiance(beam), unit.Irradiance(global - beam*cosine)}, nil
}

// checkSky holds the inputs to what a sky on Earth has. House judgement, generous: 40 is the
// air mass at the horizon, 10 the turbidity of a dust storm, heights where people walk.
func checkSky(zenith unit.Angle, mass AirMass, turbidity Turbidity, height unit.Length) error {
	limits := []struct {
		name             string
		value, low, high float64
	}{
		{"zenith angle, degrees", zenith.Degrees(), 0, 180},
		{"air mass", float64(mass), 0.4, 40},
		{"turbidity", float64(turbidity), 1, 10},
		{"height, m", height.Metres(), -500, 6000},
	}
	for _, l := range limits {
		if !(l.value >= l.low && l.value <= l.high) {
			return fmt.Errorf("%s: %g is not between %g and %g", l.name, l.value, l.low, l.high)
		}
	}
	return nil
}
