package hike

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Turn is where a shortened hike turns back, by the distance from the start. The zero value
// means that the whole trail is walked.
type Turn struct {
	Name  string      `json:",omitempty"` // "" where the place has no name
	Along unit.Length `json:",omitempty"`
}

// Made reports whether the hike turns back early.
func (t Turn) Made() bool { return t.Along > 0 }

// Where names the place, or says how far from the start it is.
func (t Turn) Where() string {
	if t.Name == "" && t.Made() {
		return "a place " + format.Both(format.Length, t.Along) + " from the start"
	}
	return t.Name
}

// TurnOn finds the place to turn at on a trail: a named point, or the given distance. It
// returns an Invalid for the fields "turn" and "turn_distance".
func TurnOn(t trail.Trail, name string, along unit.Length) (Turn, error) {
	v := fault.Invalid{}
	turn := Turn{Name: text.Line(name), Along: along}
	v.AtMost("turn", turn.Name, fault.LongestName)
	i := slices.IndexFunc(t.Points, func(p trail.Point) bool { return strings.EqualFold(p.Name, turn.Name) })
	switch {
	case along == 0 && turn.Name == "":
		v.Add("turn", "Say where it turns back.")
		return turn, v
	case along == 0 && i < 0:
		v.Add("turn_distance", "The trail has no place by this name. Say how far it is from the start.")
		return turn, v
	case along == 0:
		turn = Turn{Name: t.Points[i].Name, Along: t.Points[i].Along}
	}
	if !(turn.Along >= plan.NearestTurn && turn.Along < lastTurn(t.Profile)) {
		v.Add("turn", fmt.Sprintf("Choose a place at least %s from the start and before the trail's own turnaround "+
			"or midpoint, at %s.",
			format.Both(format.ShortLength, plan.NearestTurn), format.Both(format.Length, lastTurn(t.Profile))))
	}
	return turn, v.Err()
}

// lastTurn is the farthest place from which turning back is shorter than going on.
func lastTurn(p track.Profile) unit.Length {
	if p.Shape == track.OutAndBack {
		return p.Far()
	}
	return p.Length / 2
}

// Turns lists the named points at which a hike on the trail can turn back, the farthest first.
func Turns(t trail.Trail) []trail.Point {
	var list []trail.Point
	for _, p := range slices.Backward(t.Points) {
		if p.Along >= plan.NearestTurn && p.Along < lastTurn(t.Profile) {
			list = append(list, p)
		}
	}
	return list
}

// On returns the trail as the hike walks it: to the place where it turns back and no farther.
func (h Hike) On(t trail.Trail) trail.Trail {
	if !h.Turn.Made() || h.Turn.Along >= t.Profile.Far() {
		return t
	}
	t.Profile = t.Profile.Turned(h.Turn.Along)
	t.Points = slices.DeleteFunc(slices.Clone(t.Points), func(p trail.Point) bool { return p.Along > h.Turn.Along })
	return t
}

// OnListed is On for a trail without its track. Its figures come from the hike's plan; without
// one the climb is not known.
func (h Hike) OnListed(t trail.Trail, p *plan.Plan) trail.Trail {
	if !h.Turn.Made() {
		return t
	}
	t.Profile.Shape, t.Profile.Length = track.OutAndBack, 2*h.Turn.Along
	t.Profile.HasElevation = t.Profile.HasElevation && p != nil
	if p != nil {
		t.Profile.Ascent, t.Profile.Descent = p.Trail.Ascent, p.Trail.Descent
		t.Profile.Lowest, t.Profile.Highest = p.Trail.Lowest, p.Trail.Highest
		t.Profile.Steepest = unit.Slope(p.Trail.Steepest.Fraction())
	}
	return t
}
