// Package walk estimates how long a group takes on a trail: the travel rate on each leg's slope, the party's pace,
// its breaks, the spread around the median, and updates from reports on the day.
//
// Rate is the one curve behind every plan. The other published rules in curves.go and rules.go are second opinions.
// Every figure names its source; where there is none, the comment says "Our judgment" or "Common practice, no
// source".
package walk
