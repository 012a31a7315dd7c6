package heat

import "math"

// Liljegren et al. 2008, the instruments: a globe of 50.8 mm (not the 150 mm of ISO 7243)
// and a wick of 7 by 25.4 mm, and the ground around. Meters and shares, as in the released
// source.
const (
	globeDiameter   = 0.0508
	globeEmissivity = 0.95
	globeAlbedo     = 0.05
	wickDiameter    = 0.007
	wickLength      = 0.0254
	wickEmissivity  = 0.95
	wickAlbedo      = 0.4
	groundEmits     = 0.999
	groundAlbedo    = 0.45
)

// surroundings is the weather around both instruments, in the units of gas.go.
type surroundings struct {
	air, vapor, pressure, wind float64
	solar, direct, cosine      float64
	longwave                   float64 // from sky and ground, W/m2
}

// newSurroundings assumes that the ground is as warm as the air, as the paper does.
func newSurroundings(a Air) surroundings {
	s := surroundings{
		air:      a.Temperature.Kelvin(),
		pressure: a.Pressure.Hectopascals(),
		wind:     max(stillest, a.Wind.MetresPerSecond()),
		cosine:   math.Cos(float64(a.Zenith)),
		solar:    a.Solar.WattsPerSquareMetre(),
		direct:   min(mostDirect, float64(a.Direct)),
	}
	s.vapor = float64(a.Humidity) * saturation(s.air)
	black := stefanBoltzmann * fourth(s.air)
	s.longwave = 0.5 * (skyEmissivity(s.vapor) + groundEmits) * black
	if s.cosine < lowestSunCosine {
		s.cosine, s.direct = lowestSunCosine, 0
		return s
	}
	// No sky lets more through, even when the Earth is nearest to the Sun. Without this limit an hourly mean with the
	// Sun at the horizon would count as a beam of many kilowatts.
	s.solar = min(s.solar, clearestSky*solarConstant*nearestSunFactor*s.cosine)
	return s
}

func fourth(t float64) float64 { return t * t * t * t }

// sphereTransfer returns the heat that air takes from a sphere, W/(m2 K), at the mean film temperature t (Ranz and
// Marshall; Bird, Stewart and Lightfoot 1960, eq. 13.3-1).
func (s *surroundings) sphereTransfer(t float64) float64 {
	v := viscosity(t)
	reynolds := s.wind * density(t, s.pressure) * globeDiameter / v
	nusselt := 2 + 0.6*math.Sqrt(reynolds)*spherePrandtl
	return nusselt * conductivity(v) / globeDiameter
}

// film is the layer of air around an instrument, at the mean of its temperature and the air's.
type film struct{ temperature, viscosity, density float64 }

func (s *surroundings) filmTo(t float64) film {
	mean := (t + s.air) / 2
	return film{mean, viscosity(mean), density(mean, s.pressure)}
}

// wickTransfer returns the same for a long cylinder across the wind (Bedingfield and Drew 1950, eq. 32: Nu = 0.281
// Re^0.6 Pr^0.44).
func (s *surroundings) wickTransfer(f film) float64 {
	reynolds := s.wind * f.density * wickDiameter / f.viscosity
	return 0.281 * power(reynolds, 0.6) * wickPrandtl * conductivity(f.viscosity) / wickDiameter
}

var (
	spherePrandtl = math.Pow(prandtl, 0.3333)
	wickPrandtl   = math.Pow(prandtl, 1-0.56)
)

// globeTaken returns what the globe absorbs from sky, ground and Sun, W/m2 (Liljegren et al. 2008, eq. 15 to 17).
func (s *surroundings) globeTaken() float64 {
	beam := s.direct*(1/(2*s.cosine)-1) + 1 + groundAlbedo
	return globeEmissivity*s.longwave + s.solar/2*(1-globeAlbedo)*beam
}

// globeGain returns what a globe at t gains, W/m2: what it absorbs, less what it emits, less what the air carries
// off.
func (s *surroundings) globeGain(taken, t float64) float64 {
	out := globeEmissivity * stefanBoltzmann * fourth(t)
	return taken - out - s.sphereTransfer((t+s.air)/2)*(t-s.air)
}

// globe solves the balance of the globe. In still air it would reach the radiant temperature, in a gale the air's;
// the solution is between the two.
func (s *surroundings) globe() float64 {
	taken := s.globeTaken()
	radiant := radiantTemperature(taken, globeEmissivity)
	gain := func(t float64) float64 { return s.globeGain(taken, t) }
	return root(gain, min(s.air, radiant), max(s.air, radiant))
}

// wickTaken returns the same for the wick: sides and tip for diffuse light, the shadow of sides and tip for the beam,
// the sides again for light from the ground (eq. 9).
func (s *surroundings) wickTaken() float64 {
	tip := 0.25 * wickDiameter / wickLength
	tangent := math.Sqrt(1-s.cosine*s.cosine) / s.cosine
	beam := s.direct*(tangent/math.Pi+tip) + (1-s.direct)*(1+tip) + groundAlbedo
	return wickEmissivity*s.longwave + (1-wickAlbedo)*s.solar*beam
}

// wickGain returns how far the balance moves a wick at t, kelvins: toward the air temperature, down by evaporation,
// up by radiation (eq. 5 to 10).
func (s *surroundings) wickGain(taken, t float64) float64 {
	f := s.filmTo(t)
	out := wickEmissivity * stefanBoltzmann * fourth(t)
	return s.air - t - s.evaporative(t, f) + (taken-out)/s.wickTransfer(f)
}

// naturalWetBulb solves the wick's balance in sun and wind.
func (s *surroundings) naturalWetBulb() float64 {
	taken := s.wickTaken()
	radiant := radiantTemperature(taken, wickEmissivity)
	gain := func(t float64) float64 { return s.wickGain(taken, t) }
	low, high := min(s.dew(), radiant), max(s.air, radiant)
	// Except in moist air the wick is colder than the air. Checking that first avoids most of a search that would
	// start at the radiant temperature, near boiling.
	if gain(s.air) < 0 {
		return s.wetRoot(gain, low, s.air)
	}
	return s.wetRoot(gain, max(low, s.air), high)
}

// evaporative returns how far evaporation from a wick at t cools it below the air, kelvins (eq. 6): heat and mass
// transfer are alike, up to Prandtl over Schmidt to the power 0.56.
func (s *surroundings) evaporative(t float64, f film) float64 {
	vapor := saturation(t)
	schmidt := f.viscosity / (f.density * diffusivity(f.temperature, s.pressure))
	return evaporation(f.temperature) / (heatOfAir * molarAir / molarWater) *
		(vapor - s.vapor) / (s.pressure - vapor) * power(prandtl/schmidt, 0.56)
}

// dew returns the lowest temperature of a wick without radiation. Air without any vapor has no dew point; a
// thousandth of a hectopascal, -80 C, is below any wick in range.
func (s *surroundings) dew() float64 { return dewKelvin(max(0.001, s.vapor)) }

// wetRoot keeps the search below boiling, where the balance has no meaning. No weather makes the wick that hot: near
// boiling it would lose tens of kilowatts.
func (s *surroundings) wetRoot(gain func(float64) float64, low, high float64) float64 {
	return root(gain, low, min(high, dewKelvin(0.9*s.pressure)))
}

func radiantTemperature(taken, emissivity float64) float64 {
	return math.Sqrt(math.Sqrt(taken / (emissivity * stefanBoltzmann)))
}
