package walk

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// lorentz is the modified Lorentz travel-rate curve of Campbell, Dennison, Butler and Page
// 2019, Applied Geography 106:93-107: r = c/(pi b (1 + ((t-a)/b)^2)) + d + e t, with t in
// degrees above the level and r in m/s.
type lorentz struct{ a, b, c, d, e float64 }

func (l lorentz) at(s unit.Slope) unit.Speed {
	t := s.Angle().Degrees()
	u := (t - l.a) / l.b
	return unit.Speed(l.c/(math.Pi*l.b*(1+u*u)) + l.d + l.e*t)
}

// Campbell et al. 2022, Computers, Environment and Urban Systems: median of hikers'
// recordings across the United States. Coefficients as in the first author's R package.
func hikers2022() lorentz { return lorentz{-1.4579, 22.0787, 76.3271, 0.0525, -3.2002e-4} }

// tan 30 degrees. Campbell 2022 was fitted on slopes within 30 degrees of the level; House
// judgement: a steeper slope is held to that edge, where the curve is already slow.
const steepest unit.Slope = 0.5773502691896257

func clamp(s, limit unit.Slope) unit.Slope { return max(-limit, min(limit, s)) }

// Rate returns the median speed of hikers on a slope, breaks not counted. It is the
// centre of every estimate. Slopes beyond 30 degrees count as 30.
func Rate(s unit.Slope) unit.Speed { return hikers2022().at(clamp(s, steepest)) }

// RateRational returns the same median by the same author's later rational curve, which
// stays within 0.06 m/s of Rate: a check on it. Slopes beyond 30 degrees count as 30.
func RateRational(s unit.Slope) unit.Speed {
	t := clamp(s, steepest).Angle().Degrees()
	// Campbell, rational form after the 2022 paper, as in the author's R package.
	return unit.Speed((0.006512*t*t + 80.88869) / (0.140214*t*t + 70.389209))
}

// Percentile is a rung of the Campbell 2019 ladder.
type Percentile int

// ladder2019 holds one percentile's curve.
type ladder2019 struct {
	percentile Percentile
	curve      lorentz
}

// campbell2019 is Campbell, Dennison, Butler and Page 2019, Supplement Table S1: about
// 30 000 people, walking, jogging and running together.
func campbell2019() []ladder2019 {
	return []ladder2019{
		{1, lorentz{-2.100, 12.273, 21.816, 0.263, -0.00193}},
		{5, lorentz{-1.527, 14.041, 36.813, 0.320, -0.00273}},
		{10, lorentz{-1.568, 13.328, 38.892, 0.404, -0.00323}},
		{15, lorentz{-1.626, 11.847, 38.231, 0.481, -0.00356}},
		{20, lorentz{-1.710, 10.154, 36.905, 0.557, -0.00389}},
		{25, lorentz{-1.822, 8.827, 37.111, 0.616, -0.00402}},
		{30, lorentz{-1.858, 8.412, 39.995, 0.645, -0.00430}},
		{40, lorentz{-1.958, 8.960, 50.340, 0.649, -0.00457}},
		{50, lorentz{-2.171, 10.064, 63.660, 0.628, -0.00463}},
		{60, lorentz{-2.459, 11.311, 79.287, 0.599, -0.00461}},
		{70, lorentz{-2.823, 12.784, 98.697, 0.566, -0.00493}},
		{80, lorentz{-3.371, 15.395, 134.409, 0.443, -0.00472}},
		{90, lorentz{-3.060, 16.653, 138.875, 0.823, -0.01386}},
		{95, lorentz{-3.485, 17.033, 138.040, 1.179, -0.01252}},
		{99, lorentz{-4.000, 13.903, 123.515, 1.961, -0.01081}},
	}
}

// Campbell2019 returns one percentile of the 2019 ladder, of all gaits. Its middle runs:
// 2.55 m/s on the level. Only rungs 1 to 10 walk, so it never makes an estimate here.
func Campbell2019(p Percentile, s unit.Slope) (unit.Speed, error) {
	for _, rung := range campbell2019() {
		if rung.percentile == p {
			return rung.curve.at(clamp(s, steepest)), nil
		}
	}
	return 0, fmt.Errorf("percentile %d is not on the 2019 ladder", p)
}

// Sullivan et al. 2020, Fire 3(3):52: fire crews with packs, fast sixth and middle. The
// third curve of the paper is left out: as transcribed it gives negative speeds.
func crewsFast() lorentz   { return lorentz{-3.3717, 25.8255, 92.6594, -0.1624, 0.0019} }
func crewsMiddle() lorentz { return lorentz{-2.8292, 20.9482, 77.6346, -0.2228, 0.0004} }

// CrewsFast returns the speed of the fastest sixth of loaded fire crews.
func CrewsFast(s unit.Slope) unit.Speed { return crewsFast().at(clamp(s, steepest)) }

// CrewsMiddle returns the middle speed of loaded fire crews: a bound for a loaded party.
func CrewsMiddle(s unit.Slope) unit.Speed { return crewsMiddle().at(clamp(s, steepest)) }

// Tobler returns W. Tobler's 1993 speed on footpaths.
func Tobler(s unit.Slope) unit.Speed {
	// Tobler 1993, NCGIA Technical Report 93-1: 6 exp(-3.5 |s + 0.05|) km/h.
	return unit.Speed(6*math.Exp(-3.5*math.Abs(float64(s)+0.05))) * unit.KilometrePerHour
}

// ToblerOffPath returns Tobler's speed away from footpaths.
func ToblerOffPath(s unit.Slope) unit.Speed {
	// Tobler 1993, as above: 0.6 of the speed on a footpath.
	return 0.6 * Tobler(s)
}

// IrmischerClarke returns men's mean speed on a path. The slope keeps its sign.
func IrmischerClarke(s unit.Slope) unit.Speed {
	// Irmischer and Clarke 2018, Cartogr. Geogr. Inf. Sci. 45(2):177-186, on road, slope in
	// percent: 0.11 + exp(-(S+5)^2 / (2 30^2)) m/s. Signed slope from memory.
	return unit.Speed(0.11 + bell(s, 5))
}

// IrmischerClarkeWomen returns women's mean speed on a path.
func IrmischerClarkeWomen(s unit.Slope) unit.Speed {
	// Irmischer and Clarke 2018: 0.95 of the men's.
	return 0.95 * IrmischerClarke(s)
}

// IrmischerClarkeOffPath returns men's mean speed away from paths.
func IrmischerClarkeOffPath(s unit.Slope) unit.Speed {
	// Irmischer and Clarke 2018, off road: 0.11 + 0.67 exp(-(S+2)^2 / (2 30^2)) m/s.
	return unit.Speed(0.11 + 0.67*bell(s, 2))
}

// bell is the Gauss curve of Irmischer and Clarke 2018. Its denominator is 2 times 30
// squared, not 60 squared as one copy has it.
func bell(s unit.Slope, shift float64) float64 {
	u := float64(s.Percent()) + shift
	return math.Exp(-u * u / (2 * 30 * 30))
}

// MarquezPerez returns the speed of Marquez-Perez et al. 2017, Tobler's form refitted.
func MarquezPerez(s unit.Slope) unit.Speed {
	// Marquez-Perez et al. 2017: 4.8 exp(-5.3 |0.7 s + 0.03|) km/h.
	return unit.Speed(4.8*math.Exp(-5.3*math.Abs(0.7*float64(s)+0.03))) * unit.KilometrePerHour
}
