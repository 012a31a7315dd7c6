package trail

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Trail is a named track with the points on it.
type Trail struct {
	ID      ref.Trail
	Name    string
	Summary string // for the public: what the trail is like
	// Zone is the IANA time zone of the trailhead. All clock times of this trail's hikes, on
	// screens and on paper, are in it.
	Zone    string
	Surface walk.Surface
	// Meeting says where people meet and how to get there.
	Meeting string
	// Manager is who manages the land and how to reach them.
	Manager string
	// PermitCap is the largest party the land manager allows, 0 if unknown. It includes the
	// staff, as in most permits, unless PermitWithoutStaff is set.
	PermitCap          int
	PermitWithoutStaff bool
	// PermitNumber is the number of the permit; empty if unknown.
	PermitNumber string
	// Signal says what is known about phone coverage; empty if unknown.
	Signal  string
	Profile track.Profile
	Points  []Point
	Created time.Time
}

// PointKind is what a point on a trail is for.
type PointKind string

// The kinds of points, in the terms hike leaders use.
const (
	Trailhead PointKind = "trailhead"
	Junction  PointKind = "junction"
	Shade     PointKind = "shade"
	BailOut   PointKind = "bail-out"
	Regroup   PointKind = "regroup"
	Goal      PointKind = "goal"
	Water     PointKind = "water"
)

// PointKinds lists every kind in the order that forms offer them.
func PointKinds() []PointKind {
	return []PointKind{Trailhead, Junction, Shade, BailOut, Regroup, Goal, Water}
}

// Point is a place on the trail, by its distance from the start.
type Point struct {
	ID    int64
	Kind  PointKind
	Name  string
	Along unit.Length
	Note  string
	// WaterSeen is the day on which the organization confirmed that there is water at a point
	// of kind Water; zero if it did not. Nobody relies on unconfirmed water.
	WaterSeen time.Time
}

// Validate returns an Invalid that lists each fault.
func (t Trail) Validate() error {
	v := fault.Invalid{}
	v.Require("name", t.Name, 120, "Give the trail a name.")
	if _, err := walk.ParseSurface(string(t.Surface)); err != nil {
		v.Add("surface", "Choose what is underfoot.")
	}
	if _, err := time.LoadLocation(t.Zone); err != nil || t.Zone == "" || t.Zone == "Local" {
		v.Add("zone", "Give the trailhead's time zone, such as America/Denver.")
	}
	if t.PermitCap < 0 || t.PermitCap > 500 {
		v.Add("permit_cap", "Give a party size between 1 and 500, or leave it empty where none is known.")
	}
	v.AtMost("summary", t.Summary, 4000)
	v.AtMost("meeting", t.Meeting, 4000)
	v.AtMost("manager", t.Manager, 4000)
	v.AtMost("signal", t.Signal, 4000)
	return v.Err()
}

// Location returns the trailhead's zone, or UTC if this machine does not know it.
func (t Trail) Location() *time.Location {
	if loc, err := time.LoadLocation(t.Zone); err == nil {
		return loc
	}
	return time.UTC
}

// ValidatePoint returns an Invalid that lists the faults of a point on this trail.
func (t Trail) ValidatePoint(p Point) error {
	v := fault.Invalid{}
	v.Require("name", p.Name, 80, "Give the point a name.")
	known := false
	for _, k := range PointKinds() {
		known = known || k == p.Kind
	}
	if !known {
		v.Add("kind", "Choose what the point is.")
	}
	if !p.WaterSeen.IsZero() && p.Kind != Water {
		v.Add("water_seen", "Only a point of water has a day on which it was seen.")
	}
	if !(p.Along >= 0) || p.Along > t.Profile.Length {
		v.Add("along", "Give a distance from the start that lies on the trail.")
	}
	return v.Err()
}

// RemovePoint removes a point.
func (t *Trail) RemovePoint(id int64) error {
	for i, p := range t.Points {
		if p.ID == id {
			t.Points = append(t.Points[:i], t.Points[i+1:]...)
			return nil
		}
	}
	return fmt.Errorf("point %d of trail %d: %w", id, t.ID, fault.ErrNotFound)
}

// Our judgment: a waypoint farther than this from the track is not on the trail.
const nearTrack = 150 * unit.Metre

// PointsFromWaypoints turns a recording's waypoints into points on the trail. It leaves out
// those too far from the track and returns their names.
func PointsFromWaypoints(p track.Profile, waypoints []track.Waypoint) (points []Point, left []string) {
	for _, w := range waypoints {
		along, off := p.Nearest(w.At)
		if off > nearTrack {
			left = append(left, w.Name)
			continue
		}
		points = append(points, Point{Kind: kindOf(w), Name: orUnnamed(w.Name), Along: along})
	}
	return points, left
}

// kindOf guesses the kind from the words of the waypoint. Junction is the harmless guess,
// because leaders count at junctions.
func kindOf(w track.Waypoint) PointKind {
	words := strings.ToLower(w.Name + " " + w.Symbol)
	for _, guess := range []struct {
		word string
		kind PointKind
	}{
		{"trailhead", Trailhead}, {"parking", Trailhead}, {"shade", Shade}, {"tree", Shade}, {"bail", BailOut},
		{"regroup", Regroup}, {"summit", Goal}, {"goal", Goal}, {"overlook", Goal},
	} {
		if strings.Contains(words, guess.word) {
			return guess.kind
		}
	}
	return Junction
}

func orUnnamed(name string) string {
	if text.Empty(name) {
		return "unnamed point"
	}
	return name
}
