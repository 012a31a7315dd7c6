package supply

import (
	"math"

	"saltbush/internal/unit"
)

// Terrain is the factor by which ground makes walking more costly than a hard road.
type Terrain float64

// Terrain factors: Givoni and Goldman 1971 and later work, as listed by de Gruchy et al. 2017.
const (
	DirtRoad   Terrain = 1.1
	LightBrush Terrain = 1.2
	HeavyBrush Terrain = 1.5
	LooseSand  Terrain = 2.1
)

// TerrainOf returns the factor of a trail surface by its name: firm, rocky, loose sand, wash or steps. An unknown
// name counts as rocky.
func TerrainOf[S ~string](surface S) Terrain {
	switch surface {
	case "", "firm":
		return DirtRoad
	case "loose sand":
		return LooseSand
	case "wash":
		// Our judgment: gravel gives way less than sand. Midway between dirt road and loose sand, rounded down to the
		// published factor for heavy brush.
		return HeavyBrush
	default:
		// Our judgment for rock and steps: each foot is placed, as in light brush.
		return LightBrush
	}
}

// PerKilogram is power for each kilogram moved, in W/kg.
type PerKilogram float64

// Of returns the power for a mass.
func (p PerKilogram) Of(m unit.Mass) unit.Power {
	return unit.Power(float64(p) * m.Kilograms())
}

// Domain of Looney et al. 2019, graded: up to 1.96 m/s and -40 to +45 percent.
const (
	fastest   unit.Speed = 1.96
	steepDown unit.Slope = -0.40
	steepUp   unit.Slope = 0.45
)

// WorkSource is where Metabolic comes from, as a plan explains it.
const WorkSource = "Looney et al. 2019 (Med Sci Sports Exerc 51), terrain factors after de Gruchy et al. 2017"

// resting is the standing term of Looney et al. 2019.
const resting PerKilogram = 1.44

// walkingCost is Looney et al. 2019, Med Sci Sports Exerc 51(2) (level) and 51(9):1954-1960
// (graded), less the standing term: 1.94 V^0.43 + 0.24 V^4 + 0.34 V G (1 - 1.05^(1 -
// 1.1^(G+32))) W/kg, V in m/s, G in percent. The fourth power is right; some copies print
// the second.
func walkingCost(v unit.Speed, s unit.Slope) PerKilogram {
	speed, grade := v.MetresPerSecond(), float64(s.Percent())
	level := 1.94*math.Pow(speed, 0.43) + 0.24*math.Pow(speed, 4)
	return PerKilogram(level + 0.34*speed*grade*(1-math.Pow(1.05, 1-math.Pow(1.1, grade+32))))
}

// Limits of a walker. Our judgment: the lightest is a small child without a pack, the heaviest a large adult with a
// big load. The highest published terrain factor is 2.1.
const (
	lightest unit.Mass = 10
	heaviest unit.Mass = 300
	dearest  Terrain   = LooseSand
)

// Metabolic returns the power that a person spends to move body and load at a speed on a slope. The terrain factor
// multiplies the walking term and not the standing one, as in Pandolf 1977: standing on sand costs nothing extra.
// Values outside the published domain, and NaN, are limited to its edge.
func Metabolic(moved unit.Mass, v unit.Speed, s unit.Slope, terrain Terrain) unit.Power {
	moved = between(moved, lightest, heaviest)
	v = between(v, 0, fastest)
	s = between(s, steepDown, steepUp)
	terrain = between(terrain, 1, dearest)
	return (resting + PerKilogram(terrain)*walkingCost(v, s)).Of(moved)
}

// between limits a value. NaN becomes the upper limit, which is the cautious one in every use here.
func between[T ~float64](v, low, high T) T {
	if math.IsNaN(float64(v)) {
		return high
	}
	return max(low, min(high, v))
}
