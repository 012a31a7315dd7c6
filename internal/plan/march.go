package plan

import (
	"time"

	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// march is a walk laid out in time from its departure, whenever that is: how long each
// leg takes and how hard the party works on it.
type march struct {
	legs     []track.Leg
	estimate walk.Estimate
	moved    unit.Mass
	terrain  supply.Terrain
	standing unit.Power
	far      unit.Length
}

func newMarch(in Input, legs []track.Leg, far unit.Length) (march, error) {
	ways := make([]walk.Leg, len(legs))
	for i, l := range legs {
		ways[i] = walk.Leg{Length: l.To - l.From, Slope: l.Slope, Surface: in.Surface}
	}
	estimate, err := walk.NewEstimate(ways, in.Party)
	if err != nil {
		return march{}, bad("trail", "has no walking time: %v", err)
	}
	m := march{legs: legs, estimate: estimate, moved: in.House.BodyMass + in.House.Load,
		terrain: supply.TerrainOf(in.Surface), far: far}
	m.standing = supply.Metabolic(m.moved, 0, 0, m.terrain)
	return m, nil
}

// The two quantiles that the trade speaks of: as likely early as late, and nine in ten.
const (
	half      unit.Fraction = 0.5
	nineInTen unit.Fraction = 0.9
)

// reach returns how long the party takes to a place on the way at a quantile of its time.
func (m march) reach(along unit.Length, q unit.Fraction) time.Duration {
	for i, l := range m.legs {
		if l.To < along {
			continue
		}
		before := m.estimate.Elapsed(i-1, q)
		share := float64((along - l.From) / (l.To - l.From))
		return before + time.Duration(max(0, share)*float64(m.estimate.Elapsed(i, q)-before))
	}
	return m.estimate.Quantile(q)
}

// wayBack returns the expected time from the far point to the end of the walk.
func (m march) wayBack() time.Duration {
	return m.estimate.P50 - m.reach(m.far, half)
}

// worked is the work on leg i in watt seconds, when it takes so many seconds with its
// share of the breaks: walking for the moving share, standing for the rest.
func (m march) worked(i int, took float64) float64 {
	leg := m.legs[i]
	moving := took * m.estimate.MovingP50.Seconds() / m.estimate.P50.Seconds()
	if !(moving > 0) {
		return 0
	}
	speed := unit.Speed((leg.To - leg.From).Metres() / moving)
	walking := supply.Metabolic(m.moved, speed, leg.Slope, m.terrain)
	return float64(walking)*moving + float64(m.standing)*(took-moving)
}
