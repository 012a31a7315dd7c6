package watch

import (
	"math"
	"strings"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Outlook is the return as it looks from the trail: the promise made afresh from the
// departure, the delays reported and the latest timed count at a known point. It stands
// beside the times that people were told, and moves none of them.
type Outlook struct {
	// From is the count that it is read from, nil where it rests on the departure and the
	// delays alone.
	From *party.Count
	// Half of such walks are back by Likely, one in ten by Early, nine in ten by Late.
	Early, Likely, Late time.Time

	start    time.Time
	estimate walk.Estimate
}

// CurrentEstimate returns the outlook at a moment; the zero Outlook where the promise gives
// none. Counts later than that moment are left out. Silence moves nothing, and neither do
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
	for i, party := range partiesOf(s) {
		o := outlookFrom(planned, start, s.Delays)
		if c, share, ok := p.lastPassage(s, party, now); ok {
			o = outlookAt(planned, start, s.Delays, c, share)
		}
		if i == 0 || o.Likely.After(slowest.Likely) {
			slowest = o
		}
	}
	return slowest
}

// partiesOf lists the parties that walk by themselves: all are back when the last one is.
func partiesOf(s party.State) []string {
	if len(s.Parties) == 0 {
		return []string{""}
	}
	names := make([]string, len(s.Parties))
	for i, p := range s.Parties {
		names[i] = p.Name
	}
	return names
}

// estimate makes the spread again that the promise was read from.
func (p Promise) estimate() (walk.Estimate, error) {
	return walk.AboutP50(p.P50, unit.Fraction(p.sigma()))
}

func outlookFrom(e walk.Estimate, start time.Time, delays []party.Delay) Outlook {
	for _, d := range delays {
		if later, err := e.Delay(d.By); err == nil {
			e = later
		}
	}
	at := func(q unit.Fraction) time.Time { return start.Add(e.Quantile(q)) }
	return Outlook{Early: at(0.1), Likely: at(0.5), Late: at(0.9), start: start, estimate: e}
}

// outlookAt learns from a count: a stop that was over by then is not the group's pace, and
// one reported since lies ahead.
func outlookAt(planned walk.Estimate, start time.Time, delays []party.Delay, c party.Count, share unit.Fraction) Outlook {
	e := planned
	over := stopsBefore(delays, c.At)
	for _, d := range delays[:over] {
		if later, err := e.Delay(d.By); err == nil {
			e = later
		}
	}
	learnt, err := e.Update(share, c.At.Sub(start))
	if err != nil {
		return outlookFrom(planned, start, delays)
	}
	o := outlookFrom(learnt, start, delays[over:])
	o.From = &c
	return o
}

// stopsBefore is how many of the delays had been reported by a moment.
func stopsBefore(delays []party.Delay, at time.Time) int {
	n := 0
	for n < len(delays) && delays[n].At.Before(at) {
		n++
	}
	return n
}

// waited is how long a party had stood still, and whether that is known: a stop reported
// shortly before may have been over by then, or not.
func waited(delays []party.Delay, at time.Time) (sum time.Duration, known bool) {
	for _, d := range delays[:stopsBefore(delays, at)] {
		if d.At.Add(d.By).After(at) {
			return 0, false
		}
		sum += d.By
	}
	return sum, true
}

// fewestShare is a House judgement: nearer to the start than a twentieth of the walk, the
// minutes of setting out say more than the pace.
const fewestShare unit.Fraction = 0.05

// slip is a House judgement: a place reached in a third of the planned time was given
// wrong.
const slip = 1.0 / 3

// lastPassage finds the latest count of a party, or of everyone, at a known place, and
// what share of the walk lay behind them there.
func (p Promise) lastPassage(s party.State, party string, now time.Time) (last party.Count, share unit.Fraction, ok bool) {
	furthest := unit.Fraction(0)
	for _, c := range s.Counts {
		point, known := p.pointOf(c)
		stood, clear := waited(s.Delays, c.At)
		walked := c.At.Sub(s.Departed) - stood
		if !known || c.Party != "" && c.Party != party || c.At.After(now) || walked <= 0 {
			continue
		}
		at := p.shareAt(point, walked, furthest)
		furthest = max(furthest, at)
		if clear && at >= fewestShare && at >= furthest && float64(walked) > slip*float64(at)*float64(p.P50) {
			last, share, ok = c, at, true
		}
	}
	return last, share, ok
}

// nearPoint is a House judgement: as far as a phone's position and a trail's drawing differ.
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
	out, back := p.share(q.P50), p.share(q.BackP50)
	// House judgement: a hundredth of the walk is the rounding of the plan's times.
	if furthest > out+0.01 {
		return back
	}
	nearer := float64(walked)*float64(walked) > float64(q.P50)*float64(q.BackP50)
	if back > 0 && walked > q.P90 && nearer {
		return back
	}
	return out
}

func (p Promise) share(d time.Duration) unit.Fraction {
	return unit.Fraction(float64(d) / float64(p.P50))
}

// sigma is the log standard deviation between P50 and P90.
func (p Promise) sigma() float64 { return math.Log(float64(p.P90)/float64(p.P50)) / decile }

// Known reports whether there is an outlook at all.
func (o Outlook) Known() bool { return !o.Likely.IsZero() }

// StillNormal returns how likely it is that an ordinary walk, this far on and at this pace,
// is not back at a moment: how likely the silence is to be nothing.
func (o Outlook) StillNormal(now time.Time) unit.Fraction {
	if !o.Known() {
		return 0
	}
	return 1 - o.estimate.BackBy(now.Sub(o.start))
}

// Concern says in words what the outlook adds to the clocks at a moment, "" for nothing.
// It asks for attention before the watch time and wakes nobody.
func (o Outlook) Concern(t Times, now time.Time) string {
	switch {
	case o.From == nil || !now.Before(t.Watch):
		return ""
	case o.Likely.After(t.Watch):
		return "At their own pace they come back after the watch time. Only a delay that staff report moves it: ask for one."
	case !now.Before(o.Late):
		return "Later than their own pace explains, before the watch time."
	}
	return ""
}
