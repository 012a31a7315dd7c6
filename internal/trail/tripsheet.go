package trail

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// TripPoint is a named place on the trail as the trip sheet prints it, with the times when the
// party is expected there.
type TripPoint struct {
	Point
	// Kinds lists all that the place is for: a goal may be in the shade.
	Kinds             []PointKind
	At, Late          time.Time // the party is there by then in one case of two, and in nine of ten
	BackAt, TurnAtMax time.Time // on the way back, and the latest time to turn; zero for none
}

// TripPoints lists the points of a trail in order, with the times of a plan. The times are zero
// without a plan, and at points that the plan does not know.
func TripPoints(t Trail, p *plan.Plan) []TripPoint {
	var list []TripPoint
	for _, x := range t.Points {
		i := slices.IndexFunc(list, func(o TripPoint) bool { return o.Name == x.Name && o.Along == x.Along })
		if i >= 0 {
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

// near reports whether two points of the same name are the same place. Plans round to a meter.
func near(a, b unit.Length) bool { return a-b < 2*unit.Metre && b-a < 2*unit.Metre }

// Escapes returns the points where the party can leave the trail.
func Escapes(points []TripPoint) []TripPoint {
	var list []TripPoint
	for _, x := range points {
		if slices.Contains(x.Kinds, BailOut) {
			list = append(list, x)
		}
	}
	return list
}
