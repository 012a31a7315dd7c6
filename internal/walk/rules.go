package walk

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

func hours(h float64) time.Duration   { return nanoseconds(h * float64(time.Hour)) }
func minutes(m float64) time.Duration { return nanoseconds(m * float64(time.Minute)) }

// nanoseconds stops at 146 years, half of what a Duration holds, so that the tail of an absurd report stays late and
// does not wrap around to early.
func nanoseconds(n float64) time.Duration { return time.Duration(math.Round(min(n, 1<<62))) }

// AlpineClubFormula and AlpineClubSource explain AlpineClub in a plan.
const (
	AlpineClubFormula = "longer of (4 km/h along, 300 m/h up + 500 m/h down) + half the shorter"
	AlpineClubSource  = "DIN 33466 and the alpine clubs' path handbook"
)

// AlpineClub returns the time on the signs of the alpine clubs, without breaks, by their joint path handbook. The
// rule is for whole walks: splitting one in two changes the result.
func AlpineClub(level, up, down unit.Length) time.Duration {
	// DIN 33466 and the alpine clubs' path handbook: 4 km/h, 300 m/h up, 500 m/h down; the
	// longer of the two times and half the shorter.
	along := level.Kilometres() / 4
	climb := up.Metres()/300 + down.Metres()/500
	return hours(max(along, climb) + min(along, climb)/2)
}

// Naismith returns the time by the metric form of his rule: 5 km/h, and an hour for each 600 m up. It is the least
// time for fit people.
func Naismith(level, up unit.Length) time.Duration {
	// W. W. Naismith 1892, Scottish Mountaineering Club Journal 2; metric form.
	return hours(level.Kilometres()/5 + up.Metres()/600)
}

// LangmuirFormula and LangmuirSource explain Langmuir in a plan.
const (
	LangmuirFormula = "5 km/h + 600 m/h up; 5 to 12 degrees down saves 10 min in 300 m, steeper costs it"
	LangmuirSource  = "Naismith 1892, Langmuir 1984"
)

// Langmuir returns Naismith's time for one leg, corrected for descent. The rise is negative going down. The rule
// jumps at 12 degrees.
func Langmuir(level, rise unit.Length) time.Duration {
	if rise >= 0 {
		return Naismith(level, rise)
	}
	return Naismith(level, 0) + minutes(langmuirDescent(level, -rise))
}

// langmuirDescent is Langmuir 1984, Mountaincraft and Leadership: descents of 5 to 12 degrees save 10 min for each
// 300 m, steeper ones cost 10 min, and gentler ones change nothing.
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
