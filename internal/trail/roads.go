package trail

import (
	"math"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// Basis says how the end of a hike is known.
type Basis string

// Drive is the way by car from one trailhead to the next.
type Drive struct {
	Takes time.Duration
	Typed bool // somebody wrote it down; else it is estimated from the coordinates
	Known bool // false where a trailhead has no coordinates: then it counts as nothing
}

// Basis says where the figure is from.
func (d Drive) Basis() string {
	switch {
	case d.Typed:
		return "typed"
	case d.Known:
		return "estimated from the coordinates"
	}
	return "not known, counted as none"
}

// Ends are where a trail begins and where its walk ends.
type Ends struct{ Start, End unit.Position }

// Pair is a drive from one trail to another.
type Pair struct{ From, To ref.Trail }

// Roads knows the drives between trailheads: typed ones first, then by coordinates.
type Roads struct {
	Typed map[Pair]time.Duration
	Ends  map[ref.Trail]Ends
}

// House judgement: roads in open country are longer than the straight line by 40 %, and
// on graded dirt and two-lane roads a car makes 50 km/h.
const detour = 1.4

const roadSpeed = 50 * unit.KilometrePerHour

// Between returns the drive from the end of one walk to the trailhead of the next. A drive
// typed for one direction holds for the other unless that is typed too.
func (r Roads) Between(from, to ref.Trail) Drive {
	for _, p := range []Pair{{from, to}, {to, from}} {
		if d, typed := r.Typed[p]; typed {
			return Drive{Takes: d, Typed: true, Known: true}
		}
	}
	a, known := r.Ends[from]
	b, also := r.Ends[to]
	if !known || !also {
		return Drive{}
	}
	seconds := detour * a.End.DistanceTo(b.Start).Metres() / roadSpeed.MetresPerSecond()
	return Drive{Takes: time.Duration(math.Ceil(seconds/60)) * time.Minute, Known: true}
}
