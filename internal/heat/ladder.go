package heat

import "saltbush/internal/unit"

// Rung is what a felt temperature allows, in words that people see.
type Rung string

// The rungs, from cool to hot. Shorter or earlier also asks for ten minutes of shade an hour
// and spare water, short only for acclimatised people and extra staff.
const (
	Normal           Rung = "normal"
	ShorterOrEarlier Rung = "shorter or earlier"
	ShortOnly        Rung = "short only"
	Cancel           Rung = "cancel"
)

// Ladder holds the felt temperatures at which each rung begins, and how much full sun adds
// to what is felt in shade. They are settings of the house, not law. No plan reads FullSun:
// what the Sun does to a walker is in the WBGT.
type Ladder struct {
	ShorterFrom, ShortOnlyFrom, CancelFrom unit.Temperature
	FullSun                                unit.Temperature // a difference, in kelvins
}

// DefaultLadder returns the house ladder: 85, 95 and 100 F, House judgement. Full sun adds
// up to 15 F (NWS, "Heat Index": "up to 15 F").
func DefaultLadder() Ladder {
	return Ladder{
		ShorterFrom:   unit.Fahrenheit(85),
		ShortOnlyFrom: unit.Fahrenheit(95),
		CancelFrom:    unit.Fahrenheit(100),
		FullSun:       unit.Fahrenheit(15) - unit.Fahrenheit(0),
	}
}

// hair is a billionth of a kelvin: a forecast that went through two units must not slip
// under the edge it stands on.
const hair unit.Temperature = 1e-9

// Rung returns the rung for the highest felt temperature that anyone meets. An edge belongs
// to the hotter rung, and a temperature that is not a number means cancel: no data is not
// cool.
func (l Ladder) Rung(felt unit.Temperature) Rung {
	switch {
	case felt < l.ShorterFrom-hair:
		return Normal
	case felt < l.ShortOnlyFrom-hair:
		return ShorterOrEarlier
	case felt < l.CancelFrom-hair:
		return ShortOnly
	default:
		return Cancel
	}
}
