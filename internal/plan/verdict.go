package plan

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// weight orders reasons: what cancels before what changes before what only warns.
type weight int

const (
	warns weight = iota
	changes
	cancels
)

type reason struct {
	weight weight
	text   string
}

// evidence is all that the verdict is taken from.
type evidence struct {
	in       Input
	march    march
	light    day
	peak     peak
	exposure unit.Temperature // limit for the acclimatised
	alert    unit.Temperature // limit for everybody else
	offBy    time.Time
	drink    unit.Flow
}

func verdict(e evidence) Verdict {
	reasons := slices.Concat(e.heatReasons(), e.lightReasons(), e.loadReasons(), e.knowledgeReasons())
	slices.SortStableFunc(reasons, func(a, b reason) int { return cmp.Compare(b.weight, a.weight) })
	v := Verdict{Decision: Go, Reasons: []string{}}
	for _, r := range reasons {
		v.Reasons = append(v.Reasons, r.text)
	}
	if len(reasons) > 0 {
		v.Decision = [...]Decision{warns: Go, changes: Change, cancels: Cancel}[reasons[0].weight]
	}
	return v
}

func (e evidence) heatReasons() []reason {
	var rs []reason
	felt := fmt.Sprintf("%s at %s", bothScales(e.peak.felt), clock(e.peak.feltAt))
	switch e.in.House.Ladder.Rung(e.peak.felt) {
	case heat.Cancel:
		rs = append(rs, reason{cancels, "The party meets " + felt + ", at or above the house ladder's cancel step."})
	case heat.ShortOnly:
		rs = append(rs, reason{changes, "The party meets " + felt + ": the house ladder allows only a short route, acclimatised people and extra staff."})
	case heat.ShorterOrEarlier:
		rs = append(rs, reason{changes, "The party meets " + felt + ": the house ladder asks for a shorter route or an earlier start, shade breaks and spare water."})
	}
	wbgt := fmt.Sprintf("Wet-bulb globe temperature reaches %s at %s", bothScales(e.peak.wbgt), clock(e.peak.at))
	switch {
	case e.peak.wbgt > e.exposure:
		rs = append(rs, reason{changes, fmt.Sprintf("%s, above the limit of %s for this work even for acclimatised people.", wbgt, bothScales(e.exposure))})
	case e.peak.wbgt > e.alert && !e.in.Acclimatised:
		rs = append(rs, reason{warns, fmt.Sprintf("%s, above the alert limit of %s for people not used to heat: more rest, shade and water.", wbgt, bothScales(e.alert))})
	}
	if back := e.back(); !e.offBy.IsZero() && back.After(e.offBy) {
		rs = append(rs, reason{changes, fmt.Sprintf("One party in ten is still out at %s, after the heat limit at %s: start earlier or shorten.", clock(back), clock(e.offBy))})
	}
	return rs
}

func (e evidence) back() time.Time { return e.in.Start.Add(e.march.estimate.P90) }

func (e evidence) lightReasons() []reason {
	var rs []reason
	light := e.light.light
	if e.in.Start.Before(light.CivilDawn) {
		rs = append(rs, reason{warns, fmt.Sprintf("The start is before first light at %s: everybody needs a lamp.", clock(light.CivilDawn))})
	}
	limit := light.Set.Add(-e.in.House.DaylightMargin)
	if !light.Set.IsZero() && e.back().After(limit) {
		rs = append(rs, reason{changes, fmt.Sprintf("One party in ten is still out at %s; the house margin wants everybody off the trail by %s, %s before sunset.",
			clock(e.back()), clock(limit), span(e.in.House.DaylightMargin))})
	}
	return rs
}

func (e evidence) loadReasons() []reason {
	if e.drink <= e.in.House.LongDrinking {
		return nil
	}
	return []reason{{changes, fmt.Sprintf("Each person would need %.2f L an hour, above %.1f L: the route is too long or too hot for this day.",
		e.drink.LitresPerHour(), e.in.House.LongDrinking.LitresPerHour())}}
}

// House judgement: clocks of the world put solar noon between about 11 and 15; outside
// this the trailhead's zone was mistyped, and every clock time of the plan is wrong.
const earliestNoon, latestNoon = 10, 16

func (e evidence) knowledgeReasons() []reason {
	var rs []reason
	if noon := e.light.light.Noon; noon.Hour() < earliestNoon || noon.Hour() >= latestNoon {
		rs = append(rs, reason{changes, fmt.Sprintf("The Sun stands highest at %s by this clock: the time zone does not fit the trail. Put it right before using any time here.", clock(noon))})
	}
	if !e.in.Profile.HasElevation {
		rs = append(rs, reason{warns, "The track has no heights: climb, effort, time and water are for level ground and so too low."})
	}
	return rs
}

func bothScales(t unit.Temperature) string {
	return fmt.Sprintf("%.1f C (%.0f F)", t.Celsius(), t.Fahrenheit())
}
