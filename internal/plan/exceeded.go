package plan

import (
	"saltbush/internal/heat"
	"saltbush/internal/sun"
	"saltbush/internal/unit"
)

// weight orders what is found: what cancels before what changes before what only warns.
type weight uint8

const (
	passes weight = iota
	warns
	changes
	cancels
)

func (w weight) decision() Decision {
	return [...]Decision{passes: Go, warns: Go, changes: Change, cancels: Cancel}[w]
}

// limit is one of the things that a start is judged by.
type limit uint8

// The limits, in the order in which they are told where they weigh the same.
const (
	ofOfficial limit = iota
	ofLadder
	ofHour
	ofOffBy
	ofFirstLight
	ofDaylight
	ofTurnaround
	ofDrinking
	ofStorm
	ofAir
	limits
)

// exceeded holds the weight of each limit for one start.
type exceeded [limits]weight

// worst returns the limit that weighs most, the first of several.
func (f exceeded) worst() (limit, weight) {
	var at limit
	for l, w := range f {
		if w > f[at] {
			at = limit(l)
		}
	}
	return at, f[at]
}

func (f exceeded) weight() weight {
	_, w := f.worst()
	return w
}

// String is the limit as a start of the window names it.
func (l limit) String() string {
	return [...]string{
		ofOfficial: "official heat level or warning", ofLadder: "house ladder", ofHour: "work in heat",
		ofOffBy: "off-by time", ofFirstLight: "first light", ofDaylight: "daylight",
		ofTurnaround: "turnaround", ofDrinking: "drinking", ofStorm: "storm chance", ofAir: "air quality",
	}[l]
}

// House judgement: a forecast is not known to a twentieth of a kelvin, and whole degrees
// Fahrenheit do not survive a tenth of a degree Celsius. Within that of its edge a felt
// temperature belongs to the hotter rung.
const slack unit.Temperature = 0.05

// exceededLimits judges what a party meets.
func (r *route) exceededLimits(m outcome) exceeded {
	var f exceeded
	switch r.in.Rules.Ladder.Rung(m.felt + slack) {
	case heat.Cancel:
		f[ofLadder] = cancels
	case heat.ShortOnly, heat.ShorterOrEarlier:
		f[ofLadder] = changes
	}
	switch {
	case m.exposure.mean > m.exposure.exposure:
		f[ofHour] = changes
	case m.alert.mean > m.alert.alert && !r.in.Acclimatised:
		f[ofHour] = warns
	}
	if !m.offBy.IsZero() && m.back.After(m.offBy) {
		f[ofOffBy] = changes
	}
	if light := r.day.light; m.start.Before(light.CivilDawn) {
		f[ofFirstLight] = warns
	}
	f[ofDaylight] = r.daylight(m)
	if at, _ := r.deadline(m, r.fromFar); !at.IsZero() && m.start.Add(r.toFar).After(at) {
		f[ofTurnaround] = changes
	}
	if m.drink > r.in.Rules.LongDrinking {
		f[ofDrinking] = changes
	}
	o := r.in.Forecast.Official
	f[ofStorm], f[ofAir] = o.storm(), o.air()
	f[ofOfficial] = r.official(m, f)
	return f
}

// daylight wants everybody off the trail the house's margin before sunset.
func (r *route) daylight(m outcome) weight {
	light := r.day.light
	switch {
	case light.Rise.IsZero() && sun.At(light.Noon, r.day.place).Elevation < 0:
		return changes // a polar night
	case !light.Set.IsZero() && m.back.After(light.Set.Add(-r.in.Rules.DaylightMargin)):
		return changes
	}
	return passes
}
