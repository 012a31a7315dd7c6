package plan

import (
	"fmt"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// peak is the worst that the party meets on its way.
type peak struct {
	wbgt   unit.Temperature
	at     time.Time
	air    unit.Temperature
	felt   unit.Temperature
	feltAt time.Time
}

// met walks the route at the median and at the nine-in-ten pace and keeps the worst of
// both: in the morning the slow party is the hotter one, in the evening the fast one.
func (d day) met(m march) (peak, error) {
	var p peak
	for _, q := range []unit.Fraction{half, nineInTen} {
		for i := range m.legs {
			if err := p.meet(d, m.arrival(i, q), m.legs[i].Elevation); err != nil {
				return peak{}, err
			}
		}
	}
	return p, nil
}

func (p *peak) meet(d day, t time.Time, height unit.Length) error {
	air := d.air(t, height)
	globe, err := heat.WBGT(air)
	if err != nil {
		return fmt.Errorf("heat at %s: %w", t.Format("15:04"), err)
	}
	if p.at.IsZero() || globe.WBGT > p.wbgt {
		p.wbgt, p.at = globe.WBGT, t
	}
	if felt := heat.Felt(air.Temperature, air.Humidity); p.feltAt.IsZero() || felt > p.felt {
		p.felt, p.feltAt = felt, t
	}
	if p.air == 0 || air.Temperature > p.air {
		p.air = air.Temperature
	}
	return nil
}

// House judgement: how finely the day is searched for the moment a limit is passed.
const offByStep = 5 * time.Minute

// offBy returns the first moment from the start to last light at which the open trail,
// at its lowest and so hottest height, passes the limit for the acclimatised or the
// ladder's last rung. Zero means that neither is passed.
func (d day) offBy(in Input, limit unit.Temperature) (time.Time, error) {
	for t := in.Start; t.Before(d.light.CivilDusk); t = t.Add(offByStep) {
		air := d.air(t, in.Profile.Lowest)
		globe, err := heat.WBGT(air)
		if err != nil {
			return time.Time{}, fmt.Errorf("heat at %s: %w", t.Format("15:04"), err)
		}
		felt := heat.Felt(air.Temperature, air.Humidity)
		if globe.WBGT > limit || in.House.Ladder.Rung(felt) == heat.Cancel {
			return t, nil
		}
	}
	return time.Time{}, nil
}
