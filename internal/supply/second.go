package supply

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Pandolf returns the power by the older US Army equation, level and uphill: a second
// opinion. It reads 12 to 33 percent low for modern loaded marching (Richmond et al. 2017).
func Pandolf(body, load unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) (unit.Power, error) {
	if s < 0 {
		return 0, fmt.Errorf("slope %g %% is downhill, where this equation does not hold", float64(s.Percent()))
	}
	if err := checkMarch(body, load, v, s, terrain); err != nil {
		return 0, err
	}
	return pandolf(body, load, v, s, terrain), nil
}

// PandolfDown returns Pandolf's power less the downhill correction of Santee et al.
// (2001, 2003). The correction is from memory and makes no plan.
func PandolfDown(body, load unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) (unit.Power, error) {
	if s > 0 {
		return 0, fmt.Errorf("slope %g %% is uphill, where the correction does not hold", float64(s.Percent()))
	}
	if err := checkMarch(body, load, v, s, terrain); err != nil {
		return 0, err
	}
	return max(0, pandolf(body, load, v, s, terrain)-santee(body, load, v, s, terrain)), nil
}

func checkMarch(body, load unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) error {
	if !(load >= 0 && load <= body) {
		return fmt.Errorf("load %g kg is not between 0 and the body's %g kg", float64(load), float64(body))
	}
	return CheckWalker(body, v, s, terrain)
}

// pandolf is Pandolf, Givoni and Goldman 1977, J Appl Physiol 43:577-581: 1.5 W + 2.0 (W+L)
// (L/W)^2 + n (W+L)(1.5 V^2 + 0.35 V G), kg, m/s and percent.
func pandolf(body, load unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) unit.Power {
	w, l := body.Kilograms(), load.Kilograms()
	speed, grade := v.MetresPerSecond(), float64(s.Percent())
	standing := 1.5*w + 2.0*(w+l)*(l/w)*(l/w)
	return unit.Power(standing + float64(terrain)*(w+l)*(1.5*speed*speed+0.35*speed*grade))
}

// santee is the correction of Santee et al. 2001/2003, from memory: n (G (W+L) V/3.5 - (W+L)
// (G+6)^2/W + (25 - V^2)), G negative.
func santee(body, load unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) unit.Power {
	w, m := body.Kilograms(), (body + load).Kilograms()
	speed, grade := v.MetresPerSecond(), float64(s.Percent())
	return unit.Power(float64(terrain) * (grade*m*speed/3.5 - m*(grade+6)*(grade+6)/w + (25 - speed*speed)))
}

// Oxygen is oxygen taken up, in millilitres for each kilogram and minute.
type Oxygen float64

// METs returns the uptake in multiples of rest.
func (o Oxygen) METs() METs {
	// One MET is 3.5 ml/kg/min by definition.
	return METs(o / 3.5)
}

// METs is effort in multiples of rest.
type METs float64

// PerKilogram returns the effort in W/kg.
func (m METs) PerKilogram() PerKilogram {
	// 1 MET is about 1 kcal/kg/h, 1.163 W/kg.
	return PerKilogram(1.163 * m)
}

// ACSM returns the oxygen cost of walking by the American College of Sports Medicine: for
// 50 m/min and faster, level or uphill.
func ACSM(v unit.Speed, s unit.Slope) (Oxygen, error) {
	perMinute := v.MetresPerSecond() * 60
	switch {
	case !(perMinute >= 50 && v <= fastest):
		return 0, fmt.Errorf("speed %g m/min is not between 50 and %g m/min", perMinute, float64(fastest)*60)
	case !(s >= 0 && s <= steepUp):
		return 0, fmt.Errorf("slope %g is not between 0 and %g", float64(s), float64(steepUp))
	}
	// ACSM walking equation: 3.5 + 0.1 v + 1.8 v grade, v in m/min.
	return Oxygen(3.5 + 0.1*perMinute + 1.8*perMinute*float64(s)), nil
}

// PerMetre is the cost of moving one kilogram one metre, in J/(kg m).
type PerMetre float64

// Minetti returns the cost of walking a slope at its best speed. The curve reads 2.5 on
// the level, where 1.64 was measured: use its shape, not that value.
func Minetti(s unit.Slope) (PerMetre, error) {
	// Minetti et al. 2002, J Appl Physiol 93:1039-1046, measured from -0.45 to +0.45.
	if !(math.Abs(float64(s)) <= 0.45) {
		return 0, fmt.Errorf("slope %g is not between -0.45 and 0.45", float64(s))
	}
	i := float64(s)
	return PerMetre(((((280.5*i-58.7)*i-76.8)*i+51.9)*i+19.6)*i + 2.5), nil
}
