package kit

import (
	"cmp"
	"saltbush/internal/party"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
)

// DecisionWords tells the public whether it is decided that the hike goes.
func DecisionWords(h hike.Hike) string {
	if h.Decision.Made() {
		return "The leader has decided that it goes; read why a day can be hard."
	}
	return "It is not decided yet whether it goes."
}

// Away says how far a time is from now.
func Away(at, now time.Time) string {
	if d := at.Sub(now); d >= 0 {
		return "in " + format.Duration(d)
	}
	return "passed " + format.Duration(now.Sub(at)) + " ago"
}

// LookWords says whom a low count lacks, where to look first, and since when.
func LookWords(look, place string, since time.Time, zone *time.Location) string {
	if since.IsZero() {
		return look
	}
	return look + " The last right count was at " + party.PlaceWords(place) + " at " + format.Clock(since, zone) + "."
}

// LastWords says where and when a person was last seen.
func LastWords(p party.Person, zone *time.Location) string {
	if p.Last.At.IsZero() {
		return ""
	}
	return cmp.Or(p.Last.Place, "place not given") + ", " + format.Clock(p.Last.At, zone)
}
