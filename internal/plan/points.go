package plan

import (
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func (e results) time() Time {
	t := e.route.march.estimate
	return Time{MovingP50: seconds(t.MovingP50), Breaks: seconds(t.Breaks), P50: seconds(t.P50), P90: seconds(t.P90),
		Points: e.timePoints(), Pace: paceOf(e.route.in.Party.Pace, e.route.march.legs), Opinions: e.opinions()}
}

// timePoints says when the party comes to each named point, and when it comes by again.
func (e results) timePoints() []TimePoint {
	points := []TimePoint{}
	when := func(along unit.Length, q unit.Fraction) Instant {
		return instant(e.met.start.Add(e.route.march.reach(along, q)))
	}
	for _, p := range e.route.in.Points {
		tp := TimePoint{Name: p.Name, Along: whole(p.Along), P50: when(p.Along, half), P90: when(p.Along, nineInTen)}
		if again := e.passedAgain(p.Along); again > 0 {
			tp.BackP50, tp.BackP90 = when(again, half), when(again, nineInTen)
		}
		points = append(points, tp)
	}
	return points
}

// passedAgain is where on the walk a place of the way out comes again, zero where it does not.
func (e results) passedAgain(along unit.Length) unit.Length {
	profile := e.route.in.Profile
	if profile.Shape != track.OutAndBack || along <= 0 || along >= profile.Far() {
		return 0
	}
	return profile.Length - along
}

// paceOf makes the pace card for the way's mean climb and mean descent. A card that the
// walking package refuses, for a slope that is a cliff, is left empty.
func paceOf(pace walk.Pace, legs []track.Leg) Pace {
	up, down := meanSlopes(legs)
	card, err := walk.NewCard(pace, up, down)
	if err != nil {
		return Pace{}
	}
	return Pace{Beat: card.Beat, Level: hundredth(card.Level.Step), Up: hundredth(card.Up.Step),
		Down: hundredth(card.Down.Step)}
}

// level is a House judgement: within 2 % a slope is not felt and has no stride of its own.
const level unit.Slope = 0.02

// meanSlopes are the rise over run of all that climbs and of all that falls, zero where
// nothing does.
func meanSlopes(legs []track.Leg) (up, down unit.Slope) {
	var rise, climbing, fall, falling unit.Length
	for _, l := range legs {
		switch {
		case l.Slope > level:
			rise, climbing = rise+l.Rise, climbing+l.To-l.From
		case l.Slope < -level:
			fall, falling = fall+l.Rise, falling+l.To-l.From
		}
	}
	if climbing > 0 {
		up = unit.Slope(rise / climbing)
	}
	if falling > 0 {
		down = unit.Slope(fall / falling)
	}
	return up, down
}

// The names of the second opinions on time.
const (
	AlpineClub        = "alpine club"
	NaismithLangmuir  = "Naismith-Langmuir"
	ToblerOpinion     = "Tobler"
	differs           = 0.30 // House judgement: a third is worth a second look, less is the rules' own spread
	percentOfOneAlone = 100
)

// opinions are the walking times of other published rules. They are for one person without
// breaks on a path, so they are held against our time for one person alone.
func (e results) opinions() map[string]Opinion {
	m, p := e.route.march, e.route.in.Profile
	var langmuir time.Duration
	var tobler float64
	for _, l := range m.legs {
		langmuir += walk.Langmuir(l.To-l.From, l.Rise)
		tobler += (l.To - l.From).Metres() / walk.Tobler(l.Slope).MetresPerSecond()
	}
	alone := m.estimate.MovingP50.Seconds() / float64(e.route.in.Party.GroupFactor()) * percentOfOneAlone
	opinion := func(d time.Duration) Opinion {
		off := d.Seconds()/alone - 1
		return Opinion{Moving: seconds(d), Difference: whole(unit.Percent(100 * off)),
			Differs: off > differs || off < -differs}
	}
	return map[string]Opinion{
		AlpineClub:       opinion(walk.AlpineClub(p.Length, p.Ascent, p.Descent)),
		NaismithLangmuir: opinion(langmuir),
		ToblerOpinion:    opinion(time.Duration(tobler * float64(time.Second))),
	}
}
