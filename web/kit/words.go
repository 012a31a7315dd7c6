package kit

import (
	"cmp"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/web/ui"
)

// DecisionWords tells the public whether it is settled that the hike goes.
func DecisionWords(h hike.Hike) string {
	if h.Decision.Made() {
		return "The leader has decided that it goes; read why a day can be hard."
	}
	return "It is not decided yet whether it goes."
}

func ReasonWords(o card.Opening) string {
	if o.Lost {
		return "cannot be read any more: its key is gone"
	}
	return o.Reason
}

func Away(at, now time.Time) string {
	if d := at.Sub(now); d >= 0 {
		return "in " + format.Duration(d)
	}
	return "passed " + format.Duration(now.Sub(at)) + " ago"
}

// Figure splits "7.7 km" into its number and its unit.
func Figure(label, text, note string) ui.FigureText { return ui.NewFigure(label, text, note) }

func LastWords(p roll.Person, zone *time.Location) string {
	if p.Last.At.IsZero() {
		return ""
	}
	return cmp.Or(p.Last.Place, "place not given") + ", " + format.Clock(p.Last.At, zone)
}
