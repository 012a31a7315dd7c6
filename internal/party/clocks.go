package party

import "time"

// Clocks are the times of a party as everybody is told them: on pages, papers, in mails and by the
// watch. Package watch computes them; nothing else does. A zero time is not known.
type Clocks struct {
	// Start is the departure on record, or the planned one while Left is false.
	Start time.Time
	Left  bool
	// Expected is the likely return. At Watch on-call starts asking, at Call calls for help.
	Expected, Watch, Call time.Time
	// Turn is when to turn around wherever the party is, zero on a one-way trail. Off is when
	// everybody should be off the trail. Each has its reason. TurnAt is where a shortened hike
	// turns back, "" at the far point.
	TurnAt      string
	Turn        time.Time
	TurnBecause string
	Off         time.Time
	OffBecause  string
}

// Known reports whether there is a plan behind the clocks.
func (c Clocks) Known() bool { return !c.Expected.IsZero() }

// UpToMinute rounds up: clocks that people read show minutes, and rounding must not shorten a
// promised time.
func UpToMinute(t time.Time) time.Time {
	if r := t.Truncate(time.Minute); !r.Equal(t) {
		return r.Add(time.Minute)
	}
	return t
}
