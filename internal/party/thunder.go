package party

import "time"

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
