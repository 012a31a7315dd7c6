package trail

import (
	"math"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// Drive is the drive from one trailhead to another.
type Drive struct {
	Takes time.Duration
	Typed bool // typed by somebody, not estimated from the coordinates
	Known bool // false if a trailhead has no coordinates; the drive then counts as zero
}

// Basis says where the figure comes from.
func (d Drive) Basis() string {
	switch {
	case d.Typed:
		return "typed"
	case d.Known:
		return "estimated from the coordinates"
	}
	return "not known, counted as none"
}

// Ends are the points where a walk starts and ends.
type Ends struct{ Start, End unit.Position }

// Pair is a drive from one trail to another.
type Pair struct{ From, To ref.Trail }

// Roads has what is known about the drives between trailheads.
type Roads struct {
	Typed map[Pair]time.Duration
	Ends  map[ref.Trail]Ends
}

// Our judgment: roads in open country are 40 % longer than the straight line, and cars average
// 50 km/h on graded dirt and two-lane roads.
const detour = 1.4

const roadSpeed = 50 * unit.KilometrePerHour

// Between returns the drive from the end of one walk to the trailhead of the next: as typed, or
// else estimated from the coordinates. A drive typed for one direction is used for both, unless
// the other was typed too.
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
