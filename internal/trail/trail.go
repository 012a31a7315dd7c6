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

// Trail is a named way with a track and the points on it.
type Trail struct {
	ID      ref.Trail
	Name    string
	Summary string // for the public: what the way is like
	// Zone is the IANA time zone of the trailhead; every wall clock on screens and papers
	// of this trail's hikes is read in it.
	Zone    string
	Surface walk.Surface
	// Meeting says where people meet and how to get there.
	Meeting string
	// Manager is who manages the land and how to reach them.
	Manager string
	// PermitCap is the largest party the land manager allows, 0 where no cap is known. It
	// counts staff, as most permits do, unless PermitWithoutStaff says otherwise.
	PermitCap          int
	PermitWithoutStaff bool
	// PermitNumber is what the permit is filed under; empty where none is known.
	PermitNumber string
	// Signal says what is known of phone coverage; empty means not known.
	Signal  string
	Profile track.Profile
	Points  []Point
	Created time.Time
}

// PointKind is what a point on a trail is for.
type PointKind string

// The kinds of points, in the words of the trade.
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

// Point is a place on the way, by its distance from the start of the walk.
type Point struct {
	ID    int64
	Kind  PointKind
	Name  string
	Along unit.Length
	Note  string
	// WaterSeen is the day on which the house confirmed water at a point of that kind; zero
	// where it has not. Without it nobody counts on the water.
	WaterSeen time.Time
}

// Validate returns an Invalid naming each fault.
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

// Location returns the trailhead's zone, or UTC where the stored name is unknown to this
// machine.
func (t Trail) Location() *time.Location {
	if loc, err := time.LoadLocation(t.Zone); err == nil {
		return loc
	}
	return time.UTC
}

// ValidatePoint returns an Invalid naming what is wrong with a point for this trail.
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

// RemovePoint takes the point off the trail.
func (t *Trail) RemovePoint(id int64) error {
	for i, p := range t.Points {
		if p.ID == id {
			t.Points = append(t.Points[:i], t.Points[i+1:]...)
			return nil
		}
	}
	return fmt.Errorf("point %d of trail %d: %w", id, t.ID, fault.ErrNotFound)
}

// House judgement: a waypoint farther from the line than this is not on the way.
const nearTrack = 150 * unit.Metre

// PointsFromWaypoints places a recording's waypoints on the way. Those too far from the
// line are left out and returned by name.
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

// kindOf guesses from the words of the waypoint; a junction is the harmless guess, since
// a leader counts at junctions.
func kindOf(w track.Waypoint) PointKind {
	words := strings.ToLower(w.Name + " " + w.Symbol)
	for word, kind := range map[string]PointKind{
		"trailhead": Trailhead, "parking": Trailhead, "shade": Shade, "tree": Shade, "bail": BailOut,
		"regroup": Regroup, "summit": Goal, "goal": Goal, "overlook": Goal,
	} {
		if strings.Contains(words, word) {
			return kind
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
