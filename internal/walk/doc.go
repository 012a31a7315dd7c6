// Package walk says how long a group takes over a trail: the travel rate on each leg's
// slope, the party's pace, its breaks, the spread around the middle, and the estimate
// made afresh from where the party is on the day.
//
// Rate is the one curve that plans are made from. The other published rules stand in
// curves.go and rules.go as second opinions. Every figure names its source; where there
// is none it says "House judgement" or "Common practice, no source".
package walk
