package walk

import (
	"math"

	"saltbush/internal/unit"
)

// Card is the leader's pace card: keep the beat and change the length of the step with the slope.
type Card struct {
	Beat  int // steps a minute, one foot at a time, the same on every slope
	Level Stride
	Up    Stride
	Down  Stride
}

// Stride is one line of a pace card.
type Stride struct {
	Slope     unit.Slope
	Speed     unit.Speed
	Step      unit.Length // one foot to the other
	Breathing string
}

// beat returns the steps a minute of a pace. Common practice, no source: about 100 is an
// easy walk, and the classes lie ten steps apart.
func (p Pace) beat() int {
	switch p {
	case Gentle:
		return 95
	case Brisk:
		return 115
	default:
		return 105
	}
}

// BeatFormula explains the beat of a card in a plan.
const BeatFormula = "95, 105 or 115 for gentle, ordinary, brisk"

// NewCard makes the pace card of a pace for the slopes of a climb and a descent, whatever their signs. Speed is beat
// times step (common practice, no source), so only the step gets shorter uphill.
func NewCard(pace Pace, up, down unit.Slope) (Card, error) {
	factor, err := pace.timeFactor()
	if err != nil {
		return Card{}, err
	}
	for _, s := range []unit.Slope{up, down} {
		if err := (Leg{Slope: s}).check(); err != nil {
			return Card{}, err
		}
	}
	up, down = unit.Slope(math.Abs(float64(up))), -unit.Slope(math.Abs(float64(down)))
	line := func(s unit.Slope) Stride {
		speed := Rate(s) / unit.Speed(factor)
		return Stride{s, speed, unit.Length(speed.MetresPerSecond() * 60 / float64(pace.beat())), breathing(s)}
	}
	return Card{Beat: pace.beat(), Level: line(0), Up: line(up), Down: line(down)}, nil
}

// breathing returns the rhythm for a slope. Common practice, no source: six, four or two
// paces a breath; the limits between them (5 and 15 percent) are our judgment.
func breathing(s unit.Slope) string {
	switch {
	case s >= 0.15:
		return "one breath every two paces: in on one, out on the next"
	case s >= 0.05:
		return "one breath every four paces: two in, two out"
	default:
		return "one breath every six paces: three in, three out"
	}
}
