package track

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// Fix is one recorded point. Time is zero where the device wrote none.
type Fix struct {
	At           unit.Position
	Elevation    unit.Length
	HasElevation bool
	Time         time.Time
}

// Waypoint is a marked place beside the track.
type Waypoint struct {
	Name, Symbol string
	At           unit.Position
}

// Recording is what a GPX file holds, untouched: one segment for each unbroken stretch of
// a track, or one for each route where the file holds no track.
type Recording struct {
	Name      string
	Segments  [][]Fix
	Waypoints []Waypoint
	// Notes says in plain English what reading left out.
	Notes []string
}

// Points counts the fixes of all segments.
func (r Recording) Points() int {
	n := 0
	for _, s := range r.Segments {
		n += len(s)
	}
	return n
}

// Limits bounds what Read takes from a stranger's file. Points counts fixes and
// waypoints together; Depth counts nested elements.
type Limits struct {
	Bytes  int64
	Points int
	Depth  int
}

// DefaultLimits allows a day's walk at one fix a second many times over.
//
// Our judgment: 32 MiB is a 200,000-point file with every extension a sports watch
// writes; real files nest about eight elements deep.
func DefaultLimits() Limits {
	return Limits{Bytes: 32 << 20, Points: 250_000, Depth: 32}
}

// ReadError says what is wrong with a file and on which line.
type ReadError struct {
	Line   int
	Reason string
}

// Error returns the line and the reason, for people.
func (e *ReadError) Error() string {
	return fmt.Sprintf("line %d: %s", e.Line, e.Reason)
}
