package plan

import (
	"time"

	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// march is the walk laid out in time: which leg the party is on and how hard it works.
type march struct {
	legs     []track.Leg
	estimate walk.Estimate
	start    time.Time
	far      unit.Length
}

func newMarch(in Input) (march, error) {
	legs := in.Profile.Legs()
	ways := make([]walk.Leg, len(legs))
	for i, l := range legs {
		ways[i] = walk.Leg{Length: l.To - l.From, Slope: l.Slope, Surface: in.Surface}
	}
	estimate, err := walk.NewEstimate(ways, in.Party)
	if err != nil {
		return march{}, err
	}
	return march{legs: legs, estimate: estimate, start: in.Start, far: in.Profile.Far()}, nil
}

// The two quantiles that the trade speaks of: as likely early as late, and nine in ten.
const (
	half      unit.Fraction = 0.5
	nineInTen unit.Fraction = 0.9
)

// arrival returns when the party ends leg i at a quantile of its time.
func (m march) arrival(i int, q unit.Fraction) time.Time {
	return m.start.Add(m.estimate.Elapsed(i, q))
}

// wayBack returns the expected time from the far point to the end of the walk.
func (m march) wayBack() time.Duration {
	for i, l := range m.legs {
		if l.To >= m.far {
			return m.estimate.P50 - m.estimate.Elapsed(i, half)
		}
	}
	return 0
}

// hardestHour returns the greatest one-hour time-weighted average of metabolic rate,
// breaks counted, which is what occupational heat limits are written for (NIOSH
// 2016-106, section 8.1). A last part of an hour counts with the hour before it.
func (m march) hardestHour(body, load unit.Mass, terrain supply.Terrain) unit.Power {
	var hardest, sum unit.Power // sum is in watt hours of the current hour
	var spent time.Duration
	for i := range m.legs {
		took := m.estimate.Elapsed(i, half)
		if i > 0 {
			took -= m.estimate.Elapsed(i-1, half)
		}
		sum += m.effort(i, took, body+load, terrain) * unit.Power(took.Hours())
		spent += took
		if spent >= time.Hour {
			hardest = max(hardest, sum/unit.Power(spent.Hours()))
			sum, spent = 0, 0
		}
	}
	if hardest == 0 && spent > 0 {
		hardest = sum / unit.Power(spent.Hours())
	}
	return hardest
}

// effort is the mean power on leg i: walking for the moving share of its time, standing
// for the rest.
func (m march) effort(i int, took time.Duration, moved unit.Mass, terrain supply.Terrain) unit.Power {
	leg := m.legs[i]
	moving := took.Seconds()
	if total := m.estimate.P50; total > 0 {
		moving *= m.estimate.MovingP50.Seconds() / total.Seconds()
	}
	if moving <= 0 || took <= 0 {
		return 0
	}
	speed := unit.Speed((leg.To - leg.From).Metres() / moving)
	share := unit.Power(moving / took.Seconds())
	walking := supply.Metabolic(moved, speed, leg.Slope, terrain)
	standing := supply.Metabolic(moved, 0, 0, terrain)
	return walking*share + standing*(1-share)
}
