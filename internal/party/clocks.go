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

// Half an hour after the last thunder: the thirty-minute rule of the US National Weather Service.
const afterThunder = 30 * time.Minute

// LastThunder is when thunder was last heard, zero for never.
func (s State) LastThunder() time.Time {
	var last time.Time
	for _, at := range s.Thunder {
		if at.After(last) {
			last = at
		}
	}
	return last
}

// ResumeAt is when a party may go on after thunder, zero if there was none.
func (s State) ResumeAt() time.Time {
	if last := s.LastThunder(); !last.IsZero() {
		return last.Add(afterThunder)
	}
	return time.Time{}
}

// WaitsForThunder reports whether the party must not go on yet.
func (s State) WaitsForThunder(now time.Time) bool {
	return now.Before(s.ResumeAt()) && !s.AllAccounted
}
