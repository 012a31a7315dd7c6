package party

import "time"

// Clocks are the times of a party as everybody is told them: on pages, papers, in mails and by the
// watch. Package watch computes them; nothing else does. A zero time is not known.
type Clocks struct {
	// Start is the departure on record, or the planned one while Left is false.
	Start time.Time
	Left  bool
	// Half of such parties are back by Expected, nine in ten by Latest. At Watch on-call starts asking,
	// at Call calls for help. WatchBecause names the limit that makes Watch earlier than Latest, "" for none.
	Expected, Latest, Watch, Call time.Time
	WatchBecause                  string
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
