package watch

import (
	"strings"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Outlook estimates the return from the trail: the promise updated by the departure, the
// reported delays and the latest count at a known point. It is shown beside the times that
// people were told and moves none of them.
type Outlook struct {
	// From is the count it is based on, nil if it rests on the departure and the delays alone.
	From *party.Count
	// One such walk in ten is back by Early, half by Likely, nine in ten by Late.
	Early, Likely, Late time.Time

	start    time.Time
	estimate walk.Estimate
}

// CurrentEstimate returns the outlook at a moment, the zero Outlook if the promise allows
// none. It ignores counts later than that moment. Silence moves nothing, and neither do
// heat, light and water, which are limits and not estimates.
func CurrentEstimate(p Promise, s party.State, now time.Time) Outlook {
	planned, err := p.estimate()
	if err != nil {
		return Outlook{}
	}
	start := TimesOf(p, s.Departed, 0).Start
	slowest := outlookFrom(planned, start, s.Delays)
	if s.Departed.IsZero() {
		return slowest
	}
	for i, group := range groupNames(s) {
		o := outlookFrom(planned, start, s.Delays)
		if c, share, ok := p.lastPassage(s, group, now); ok {
			o = outlookAt(planned, start, s.Delays, c, share)
		}
		if i == 0 || o.Likely.After(slowest.Likely) {
			slowest = o
		}
	}
	return slowest
}

// groupNames lists the groups that walk separately; "" is everybody together. All are back
// when the last group is.
func groupNames(s party.State) []string {
	if len(s.Parties) == 0 {
		return []string{""}
	}
	names := make([]string, len(s.Parties))
	for i, g := range s.Parties {
		names[i] = g.Name
	}
	return names
}

// estimate rebuilds the distribution that the promise was read from.
func (p Promise) estimate() (walk.Estimate, error) {
	return walk.AboutP50(p.P50, unit.Fraction(p.sigma()))
}

func outlookFrom(e walk.Estimate, start time.Time, delays []party.Delay) Outlook {
	e = withDelays(e, delays)
	at := func(q unit.Fraction) time.Time { return start.Add(e.Quantile(q)) }
	return Outlook{Early: at(0.1), Likely: at(0.5), Late: at(0.9), start: start, estimate: e}
}

// withDelays adds delays to an estimate and skips those it cannot take.
func withDelays(e walk.Estimate, delays []party.Delay) walk.Estimate {
	for _, d := range delays {
		if later, err := e.Delay(d.By); err == nil {
			e = later
		}
	}
	return e
}

// outlookAt updates the estimate by a count. A delay reported before the count is not the
// group's pace; one reported since is still ahead.
func outlookAt(
	planned walk.Estimate, start time.Time, delays []party.Delay, c party.Count, share unit.Fraction,
) Outlook {
	over := reportedBefore(delays, c.At)
	updated, err := withDelays(planned, delays[:over]).Update(share, c.At.Sub(start))
	if err != nil {
		return outlookFrom(planned, start, delays)
	}
	o := outlookFrom(updated, start, delays[over:])
	o.From = &c
	return o
}

// reportedBefore is how many of the delays had been reported by a moment.
func reportedBefore(delays []party.Delay, at time.Time) int {
	n := 0
	for n < len(delays) && delays[n].At.Before(at) {
		n++
	}
	return n
}

// timeStopped is how long a party had stood still by a moment. It is not known if a delay
// reported shortly before may still have been going on.
func timeStopped(delays []party.Delay, at time.Time) (sum time.Duration, known bool) {
	for _, d := range delays[:reportedBefore(delays, at)] {
		if d.At.Add(d.By).After(at) {
			return 0, false
		}
		sum += d.By
	}
	return sum, true
}

// Our judgment: before a twentieth of the walk, the minutes of setting out say more than the
// pace.
const minShare unit.Fraction = 0.05

// Our judgment: a place reached in a third of the planned time was entered wrong.
const tooFast = 1.0 / 3

// lastPassage finds the latest count of a group, or of everyone, at a known place, and the
// share of the walk behind them there.
func (p Promise) lastPassage(
	s party.State, group string, now time.Time,
) (last party.Count, share unit.Fraction, ok bool) {
	farthest := unit.Fraction(0)
	for _, c := range s.Counts {
		point, known := p.pointOf(c)
		stopped, certain := timeStopped(s.Delays, c.At)
		walked := c.At.Sub(s.Departed) - stopped
		if !known || c.Party != "" && c.Party != group || c.At.After(now) || walked <= 0 {
			continue
		}
		at := p.shareAt(point, walked, farthest)
		farthest = max(farthest, at)
		plausible := float64(walked) > tooFast*float64(at)*float64(p.P50)
		if certain && at >= minShare && at >= farthest && plausible {
			last, share, ok = c, at, true
		}
	}
	return last, share, ok
}

// Our judgment: a phone's position and a trail's drawing differ by up to this.
const nearPoint = 150 * unit.Metre

// pointOf finds the place of a count by its name, or else by its distance along the track.
func (p Promise) pointOf(c party.Count) (Point, bool) {
	for _, q := range p.Points {
		if strings.EqualFold(strings.TrimSpace(q.Name), strings.TrimSpace(c.Place)) {
			return q, true
		}
	}
	for _, q := range p.Points {
		if off := q.Along - c.Along; c.Along > 0 && off <= nearPoint && off >= -nearPoint {
			return q, true
		}
	}
	return Point{}, false
}

// shareAt says what share of the walk lies behind a party at a place: zero where that is
// not known. A place that is passed twice is on the way out, unless a place farther on was
// counted before, or the time is late for the way out and nearer to that of the way back.
func (p Promise) shareAt(q Point, walked time.Duration, furthest unit.Fraction) unit.Fraction {
	// Our judgment: the shares of a stored plan are exact to a hundredth.
	if furthest > q.Share+0.01 {
		return q.BackShare
	}
	done := unit.Fraction(walked) / unit.Fraction(p.P50) // of the walk, at the median
	late := done > q.Share*unit.Fraction(p.P90)/unit.Fraction(p.P50)
	if q.BackShare > 0 && late && done*done > q.Share*q.BackShare {
		return q.BackShare
	}
	return q.Share
}

// Known reports whether there is an outlook at all.
func (o Outlook) Known() bool { return !o.Likely.IsZero() }

// StillNormal returns the probability that an ordinary walk, this far along and at this
// pace, is not back at a moment.
func (o Outlook) StillNormal(now time.Time) unit.Fraction {
	if !o.Known() {
		return 0
	}
	return 1 - o.estimate.BackBy(now.Sub(o.start))
}

// Concern says, in words, what the outlook adds to the clocks at a moment, "" for nothing.
// It asks for attention before the watch time and wakes nobody.
func (o Outlook) Concern(t Times, now time.Time) string {
	switch {
	case o.From == nil || !now.Before(t.Watch):
		return ""
	case o.Likely.After(t.Watch):
		return "At their own pace they come back after the watch time. " +
			"Only a delay that staff report moves it: ask for one."
	case !now.Before(o.Late):
		return "Later than their own pace explains, before the watch time."
	}
	return ""
}
