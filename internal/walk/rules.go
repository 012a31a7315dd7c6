package walk

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

func hours(h float64) time.Duration   { return nanoseconds(h * float64(time.Hour)) }
func minutes(m float64) time.Duration { return nanoseconds(m * float64(time.Minute)) }

// nanoseconds stops at 146 years, half of what a Duration holds, so that the tail of a
// hopeless report stays late and does not wrap round to early.
func nanoseconds(n float64) time.Duration { return time.Duration(math.Round(min(n, 1<<62))) }

// AlpineClub returns the sign time of the joint path handbook of the alpine clubs, without
// breaks. It is a whole-leg rule: cutting one leg in two changes the answer.
func AlpineClub(level, up, down unit.Length) time.Duration {
	// DIN 33466 and the alpine clubs' path handbook: 4 km/h, 300 m/h up, 500 m/h down; the
	// longer of the two times and half the shorter.
	along := level.Kilometres() / 4
	climb := up.Metres()/300 + down.Metres()/500
	return hours(max(along, climb) + min(along, climb)/2)
}

// Naismith returns the time over level and climb by the metric form of his rule: 5 km/h
// and an hour for each 600 m up. It is a least time for the fit.
func Naismith(level, up unit.Length) time.Duration {
	// W. W. Naismith 1892, Scottish Mountaineering Club Journal 2; metric form.
	return hours(level.Kilometres()/5 + up.Metres()/600)
}

// Langmuir returns Naismith's time for one leg with corrections for descent. The rise is
// negative going down. At 12 degrees it jumps, as the rule does.
func Langmuir(level, rise unit.Length) time.Duration {
	if rise >= 0 {
		return Naismith(level, rise)
	}
	return Naismith(level, 0) + minutes(langmuirDescent(level, -rise))
}

// langmuirDescent is Langmuir 1984, Mountaincraft and Leadership: descents of 5 to 12
// degrees save 10 min for each 300 m; steeper ones cost 10 min; gentler change nothing.
func langmuirDescent(level, drop unit.Length) float64 {
	angle := math.Atan2(drop.Metres(), level.Metres()) * 180 / math.Pi
	switch tens := drop.Metres() / 300 * 10; {
	case angle > 12:
		return tens
	case angle >= 5:
		return -tens
	default:
		return 0
	}
}

// RWalk returns the time of one leg in the form of the GRASS module r.walk, which gives
// the bonus for descent from the level on. The rise is negative going down.
func RWalk(level, rise unit.Length) time.Duration {
	// GRASS r.walk manual, after Aitken 1977 and Langmuir 1984: 0.72 s/m along, 6.0 s/m up,
	// 1.9998 s/m down, off for moderate and on for steep, broken at a slope of -0.2125.
	seconds := 0.72 * level.Metres()
	switch drop := -rise.Metres(); {
	case drop <= 0:
		seconds += 6.0 * rise.Metres()
	case drop > 0.2125*level.Metres():
		seconds += 1.9998 * drop
	default:
		seconds -= 1.9998 * drop
	}
	return nanoseconds(seconds * float64(time.Second))
}

// swissCoefficients is the Swiss hiking-trail federation's walking-time polynomial, version
// 2020.2, from two independent transcriptions: minutes a kilometre by powers of the slope
// in percent.
func swissCoefficients() [16]float64 {
	return [16]float64{
		14.271, 0.36992, 0.025922, -0.0014384, 3.2105e-5, 8.1542e-6, -9.0261e-8, -2.0757e-8,
		1.0192e-10, 2.8588e-11, -5.7466e-14, -2.1842e-14, 1.5176e-17, 8.6894e-18, -1.3584e-21, -1.4026e-21,
	}
}

// swissLimit is the validity of the Swiss polynomial: 40 percent up or down. House
// judgement: steeper is held to the edge, since powers of 15 run wild outside.
const swissLimit unit.Slope = 0.4

// SwissSign returns the signpost time over one stretch of even slope, without breaks.
func SwissSign(length unit.Length, s unit.Slope) time.Duration {
	percent := float64(clamp(s, swissLimit).Percent())
	sum := 0.0
	c := swissCoefficients()
	for i := len(c) - 1; i >= 0; i-- { // Horner's scheme keeps the high powers exact enough
		sum = sum*percent + c[i]
	}
	return minutes(length.Kilometres() * sum)
}
