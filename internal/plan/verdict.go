package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/heat"
	"saltbush/internal/sun"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// weight says what an exceeded limit does to a plan, from least to most.
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

// limit is one of the limits that a start is judged by.
type limit uint8

// The limits. Of several with the same weight, the first is named first.
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

// String returns the limit as a start of the window names it.
func (l limit) String() string {
	return [...]string{
		ofOfficial: "official heat level or warning", ofLadder: "house ladder", ofHour: "work in heat",
		ofOffBy: "off-by time", ofFirstLight: "first light", ofDaylight: "daylight",
		ofTurnaround: "turnaround", ofDrinking: "drinking", ofStorm: "storm chance", ofAir: "air quality",
	}[l]
}

// Our judgment: no forecast is accurate to a twentieth of a kelvin, and whole degrees Fahrenheit change slightly when
// rounded to a tenth of a degree Celsius. A felt temperature this close below a rung belongs to it.
const slack unit.Temperature = 0.05

// exceededLimits judges an outcome by every limit.
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
	case m.alert.mean > m.alert.alert && !r.in.Acclimatized:
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
	if r.share > 0 && shortAllowed(r.in.Rules.Ladder, m.felt, r.share, r.in.Acclimatized) {
		f[ofLadder] = min(f[ofLadder], warns)
	}
	return f
}

// daylight requires everybody off the trail by the margin before sunset.
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

// reason is one sentence of the verdict.
type reason struct {
	weight weight
	text   string
}

func verdict(e results) Verdict {
	reasons := slices.Concat(e.limitReasons(), e.route.dataReasons())
	reasons = append(reasons, e.hotterReasons(reasons)...)
	slices.SortStableFunc(reasons, func(a, b reason) int { return cmp.Compare(b.weight, a.weight) })
	v := Verdict{Decision: Go, Reasons: []string{}}
	for _, r := range reasons {
		v.Reasons = append(v.Reasons, r.text)
	}
	if len(reasons) > 0 {
		v.Decision = reasons[0].weight.decision()
	}
	return v
}

func verdictFigures() []figure {
	return []figure{{"decision", "the gravest of all that is found", "{weather}; {ladder}", byJudgement}}
}

// limitReasons explains the limits that the planned start exceeds.
func (e results) limitReasons() []reason {
	var rs []reason
	for l, w := range e.outcome.exceeded {
		if w != passes {
			rs = append(rs, reason{w, e.route.words(limit(l), w, e.outcome)})
		}
	}
	return rs
}

// words says how a start exceeds a limit.
func (r *route) words(l limit, w weight, m outcome) string {
	switch l {
	case ofOfficial:
		return r.in.Forecast.Official.officialWords(w)
	case ofStorm:
		return r.in.Forecast.Official.stormWords(w)
	case ofAir:
		return r.in.Forecast.Official.airWords(w)
	case ofLadder:
		if w == warns {
			return r.shortWords(m)
		}
		return r.ladderWords(m)
	case ofHour:
		return hourWords(w, m)
	case ofOffBy:
		return fmt.Sprintf("One party in ten is still out at %s, after the heat limit at %s: start earlier or shorten.",
			clock(m.back), clock(m.offBy))
	case ofFirstLight:
		return fmt.Sprintf("The start is before first light at %s: everybody needs a lamp.",
			clock(r.day.light.CivilDawn))
	case ofDaylight:
		return r.daylightWords(m)
	case ofTurnaround:
		at, _ := r.deadline(m, r.fromFar)
		if r.in.Profile.Shape == track.OneWay {
			return fmt.Sprintf("The end of the way is expected at %s, after %s, when everybody is to be off the "+
				"trail: start by %s, or choose a shorter way.",
				clock(m.start.Add(r.toFar)), clock(at), clock(at.Add(-r.toFar)))
		}
		return fmt.Sprintf("The far point is expected at %s, after the turnaround at %s: turn early, or start by %s.",
			clock(m.start.Add(r.toFar)), clock(at), clock(at.Add(-r.toFar)))
	default:
		return fmt.Sprintf("Each person would need %.2f L an hour, above %.1f L: the route is too long or too hot "+
			"for this day.",
			m.drink.LitresPerHour(), r.in.Rules.LongDrinking.LitresPerHour())
	}
}

// shortWords says what the ladder still asks of a walk that is short enough for it, "" for nothing.
func (r *route) shortWords(m outcome) string {
	switch r.in.Rules.Ladder.Rung(m.felt + slack) {
	case heat.ShorterOrEarlier:
		return fmt.Sprintf("It meets %s: the house ladder asks for ten minutes of shade an hour and spare water.",
			bothScales(m.felt))
	case heat.ShortOnly:
		return fmt.Sprintf("It meets %s: the house ladder asks for acclimatised people alone and extra staff.",
			bothScales(m.felt))
	}
	return ""
}

func (r *route) ladderWords(m outcome) string {
	felt := fmt.Sprintf("The party meets %s at %s", bothScales(m.felt), clock(r.table.moment(m.feltAt)))
	switch r.in.Rules.Ladder.Rung(m.felt + slack) {
	case heat.Cancel:
		return felt + ", at or above the house ladder's cancel step."
	case heat.ShortOnly:
		return felt + ": the house ladder allows only a short route, acclimatised people and extra staff."
	default:
		return felt + ": the house ladder asks for a shorter route or an earlier start, shade breaks and spare water."
	}
}

// hourWords names the worst hour, its heat and its work.
func hourWords(w weight, m outcome) string {
	h, limit, tail := m.alert, m.alert.alert,
		"the alert limit of %s for people not used to heat: more rest, shade and water."
	if w > warns {
		h, limit, tail = m.exposure, m.exposure.exposure, "the limit of %s for such work even for acclimatised people."
	}
	return fmt.Sprintf("In the hour from %s to %s the wet-bulb globe temperature is %s on average, at work of %.0f "+
		"W, above "+tail,
		clock(h.from), clock(h.to()), bothScales(h.mean), h.power.Watts(), bothScales(limit))
}

func (r *route) daylightWords(m outcome) string {
	if r.day.light.Set.IsZero() {
		return "The sun does not rise on this day: everybody needs a lamp for the whole way."
	}
	margin := r.in.Rules.DaylightMargin
	return fmt.Sprintf("One party in ten is still out at %s; the house margin wants everybody off the trail by %s, "+
		"%s before sunset.",
		clock(m.back), clock(r.day.light.Set.Add(-margin)), span(margin))
}

// hotterReasons warns where the verdict depends on the forecast being right: where heat would make it graver on a day
// hotter by the allowance. It never changes the decision, for the ladder was set with plain forecasts in mind.
func (e results) hotterReasons(rs []reason) []reason {
	if e.hotter == nil {
		return nil
	}
	now := passes
	for _, r := range rs {
		now = max(now, r.weight)
	}
	l, w := e.hotter.exceeded.worst()
	if w <= max(now, warns) {
		return nil
	}
	by := e.route.in.Rules.ForecastError
	return []reason{{warns, fmt.Sprintf("If the day is %.1f C (%.0f F) hotter than forecast, the advice is %s: %s",
		by.Celsius(), by.Celsius()*1.8,
		w.decision(), e.hotterWords(l))}}
}

func (e results) hotterWords(l limit) string {
	m := *e.hotter
	switch l {
	case ofOfficial, ofLadder:
		return fmt.Sprintf("the party meets %s.", bothScales(m.felt))
	case ofHour:
		return fmt.Sprintf("the hour from %s is %s (wet-bulb globe), above its limit of %s.",
			clock(m.exposure.from), bothScales(m.exposure.mean), bothScales(m.exposure.exposure))
	case ofOffBy:
		return fmt.Sprintf("one party in ten is still out at %s, after the heat limit at %s.",
			clock(m.back), clock(m.offBy))
	default:
		return fmt.Sprintf("each person needs %.2f L of water an hour.", m.drink.LitresPerHour())
	}
}

// Our judgment: around the world solar noon is between about 11 and 15 by the clock. Outside these the trailhead's zone
// is a typo, and every clock time of the plan is wrong.
const earliestNoon, latestNoon = 10, 16

// dataReasons says what is wrong with the data itself, whatever the start.
func (r *route) dataReasons() []reason {
	var rs []reason
	if noon := r.day.light.Noon; noon.Hour() < earliestNoon || noon.Hour() >= latestNoon {
		rs = append(rs, reason{changes, fmt.Sprintf("The Sun stands highest at %s by this clock: "+
			"the time zone does not fit the trail. Put it right before using any time here.", clock(noon))})
	}
	if !r.in.Profile.HasElevation {
		rs = append(rs, reason{warns, "The track has no heights: " +
			"climb, effort, time and water are for level ground and so too low."})
	}
	return rs
}

// lowered makes a sentence fit into the middle of another.
func lowered(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func bothScales(t unit.Temperature) string {
	return fmt.Sprintf("%.1f C (%.0f F)", t.Celsius(), t.Fahrenheit())
}
