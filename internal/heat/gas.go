package heat

import "math"

// Constants of Liljegren et al. 2008 as in the released source. Each formula of this file
// and of balance.go is from the paper, its numbers from that source, whose license asks
// for these words: "This product includes software produced by UChicago Argonne, LLC under
// Contract No. DE-AC02-06CH11357 with the Department of Energy."
//
// Temperatures in kelvins, pressures in hPa, all else in SI units.
const (
	stefanBoltzmann = 5.6696e-8
	heatOfAir       = 1003.5 // specific, at constant pressure, J/(kg K)
	molarAir        = 28.97
	molarWater      = 18.015
	gasConstant     = 8314.34 // J/(kmol K)
	gasOfAir        = gasConstant / molarAir
	// Prandtl number of air by the Eucken relation (Bird, Stewart and Lightfoot 1960).
	prandtl = heatOfAir / (heatOfAir + 1.25*gasOfAir)
)

// viscosity of air in kg/(m s): Chapman-Enskog with a straight line for the collision
// integral (Bird, Stewart and Lightfoot 1960, eq. 1.4-18 and table B-2).
func viscosity(t float64) float64 {
	const diameter, energy = 3.617, 97.0 // of the Lennard-Jones molecule: angstrom, kelvins
	omega := (t/energy-2.9)/0.4*-0.034 + 1.048
	return 2.6693e-6 * math.Sqrt(molarAir*t) / (diameter * diameter * omega)
}

// conductivity of air in W/(m K), from its viscosity (Eucken).
func conductivity(viscosity float64) float64 {
	return (heatOfAir + 1.25*gasOfAir) * viscosity
}

// density of air in kg/m3, as an ideal gas.
func density(t, pressure float64) float64 {
	return pressure * 100 / (gasOfAir * t)
}

// diffusing is the factor of diffusivity that depends on neither temperature nor pressure.
var diffusing = math.Cbrt(36.4*218) * math.Pow(132*647.3, 5.0/12) *
	math.Sqrt(1/molarAir+1/molarWater) * 3.640e-4 * 1e-4 / math.Pow(132*647.3, 2.334/2)

// diffusivity of water vapor in air in m2/s: Slattery and Bird, from the critical points of
// air (36.4 atm, 132 K) and water (218 atm, 647.3 K) (Bird, Stewart and Lightfoot 1960,
// eq. 16.3-1).
func diffusivity(t, pressure float64) float64 {
	return diffusing * power(t, 2.334) * 1013.25 / pressure
}

// power returns x to the y for x above zero. math.Pow is exact to the last bit and four times slower; this is right
// to one part in 10^12, and the balances are solved to a ten-thousandth of a kelvin.
func power(x, y float64) float64 { return math.Exp(y * math.Log(x)) }

// evaporation returns the heat of evaporation of water in J/kg, as in the released source. It is right at 313.15 K,
// but falls toward the cold where that of water rises, 6 % short at 283 K. We keep it because all published figures
// of the model were made with it, and it errs to the hot side: with the right sign, WBGT is 0.01 to 0.19 K lower in
// the reference cases A and C.
func evaporation(t float64) float64 {
	return 2.4073e6 - 71100*(313.15-t)/30
}

// saturation returns the vapor pressure over water in moist air, hPa (Buck 1981).
func saturation(t float64) float64 {
	return 1.004 * 6.1121 * math.Exp(17.502*(t-273.15)/(t-32.18))
}

// dewKelvin is the inverse of saturation.
func dewKelvin(vapor float64) float64 {
	z := math.Log(vapor / (1.004 * 6.1121))
	return 273.15 + 240.97*z/(17.502-z)
}

// skyEmissivity returns the emissivity of a cloudless sky over air of a vapor pressure (Oke 1987, p. 373).
func skyEmissivity(vapor float64) float64 {
	return 0.575 * math.Pow(vapor, 0.143)
}
