package track

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// Fix is one recorded point. Time is zero if the device wrote none.
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

// Recording is the unchanged content of a GPX file: a segment for each unbroken part of a track, or for each route if
// the file has no track.
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

// Limits limits what Read accepts. Points counts fixes and waypoints together; Depth counts nested elements.
type Limits struct {
	Bytes  int64
	Points int
	Depth  int
}

// DefaultLimits allows several times a day's walk at one fix a second.
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
