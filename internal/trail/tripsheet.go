package trail

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// TripPoint is a named place on the way as the trip sheet prints it: when the party is
// expected there, when it passes on the way back, and when it turns there at the latest.
type TripPoint struct {
	Point
	// Kinds are all that the place is for: a goal may be in the shade.
	Kinds             []PointKind
	At, Late          time.Time // as likely as not, and nine times in ten, by then
	BackAt, TurnAtMax time.Time // zero where they do not come back by it, or nothing sets one
}

// TripPoints lists the points of a trail in the order of the way, with the times of a plan.
// Without a plan, or at a point that it does not know, the times are zero.
func TripPoints(t Trail, p *plan.Plan) []TripPoint {
	var list []TripPoint
	for _, x := range t.Points {
		if i := slices.IndexFunc(list, func(o TripPoint) bool { return o.Name == x.Name && o.Along == x.Along }); i >= 0 {
			list[i].Kinds = append(list[i].Kinds, x.Kind)
			list[i].Note = cmp.Or(list[i].Note, x.Note)
			continue
		}
		list = append(list, TripPoint{Point: x, Kinds: []PointKind{x.Kind}})
	}
	slices.SortStableFunc(list, func(a, b TripPoint) int { return cmp.Compare(a.Along, b.Along) })
	if p == nil {
		return list
	}
	for i := range list {
		list[i].timed(p)
	}
	return list
}

func (x *TripPoint) timed(p *plan.Plan) {
	for _, t := range p.Time.Points {
		if t.Name == x.Name && near(t.Along, x.Along) {
			x.At, x.Late, x.BackAt = t.P50.Time, t.P90.Time, t.BackP50.Time
		}
	}
	for _, t := range p.Turnaround.Points {
		if t.Name == x.Name && near(t.Along, x.Along) {
			x.TurnAtMax = t.At.Time
		}
	}
}

// near tells one place from another of the same name. Plans keep whole metres.
func near(a, b unit.Length) bool { return a-b < 2*unit.Metre && b-a < 2*unit.Metre }

// Escapes are the places from which the way can be left.
func Escapes(points []TripPoint) []TripPoint {
	var list []TripPoint
	for _, x := range points {
		if slices.Contains(x.Kinds, BailOut) {
			list = append(list, x)
		}
	}
	return list
}
