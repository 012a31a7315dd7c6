package plan

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func (e results) time() Time {
	t := e.route.timing.estimate
	return Time{MovingP50: seconds(t.MovingP50), Breaks: seconds(t.Breaks), P50: seconds(t.P50), P90: seconds(t.P90),
		Points: e.timePoints(), Pace: paceOf(e.route.in.Party.Pace, e.route.timing.legs), Opinions: e.opinions()}
}

func timeFigures() []figure {
	const way = "{way}; {party}"
	figures := []figure{
		{"moving_p50_s", "sum over legs of length / rate(slope) / surface share x pace x group factor",
			way, walk.RateSource},
		{"breaks_s", walk.RestFormula, "{party}", byPractice},
		{"p50_s", "walking + breaks", way, walk.RateSource},
		{"p90_s", "P50 x exp(1.2816 sigma)", "P50 {p50}", walk.SpreadSource},
		{"points[].at_m", "distance from the start of the walk", "the trail's points", track.Source},
		{"points[].p50", "start + P50 x share of the work done there", "{start}, P50 {p50}", walk.RateSource},
		{"points[].p90", "start + P90 x share of the work done there", "{start}, P90 {p90}", walk.SpreadSource},
		{"points[].back_p50", "start + P50 x share of the work done on passing again", "{start}, P50 {p50}",
			walk.RateSource},
		{"points[].back_p90", "start + P90 x share of the work done on passing again", "{start}, P90 {p90}",
			walk.SpreadSource},
		{"pace.steps_per_min", walk.BeatFormula, "{party}", byPractice},
		{"pace.stride_level_m", "speed on the level / steps", "{party}", walk.RateSource},
		{"pace.stride_up_m", "speed on the mean climb / steps", "{way}", walk.RateSource},
		{"pace.stride_down_m", "speed on the mean descent / steps", "{way}", walk.RateSource},
		{"second_opinions." + AlpineClub + ".moving_s", walk.AlpineClubFormula, "{way}", walk.AlpineClubSource},
		{"second_opinions." + NaismithLangmuir + ".moving_s", walk.LangmuirFormula, "{way}", walk.LangmuirSource},
		{"second_opinions." + ToblerOpinion + ".moving_s", walk.ToblerFormula, "{way}", walk.ToblerSource},
	}
	for _, f := range []figure{
		{".difference_percent", "rule / our time for one person without breaks - 1", "{party}", byJudgement},
		{".differs", fmt.Sprintf("difference above %.0f %% either way", 100*differs), "{party}", byJudgement},
	} {
		for _, name := range []string{AlpineClub, NaismithLangmuir, ToblerOpinion} {
			figures = append(figures, figure{"second_opinions." + name + f.key, f.formula, f.inputs, f.source})
		}
	}
	return figures
}

// timePoints says when the party comes to each named point, and when it passes again.
func (e results) timePoints() []TimePoint {
	points := []TimePoint{}
	m := e.route.timing
	when := func(share, q unit.Fraction) Instant { return instant(e.outcome.start.Add(m.estimate.Reach(share, q))) }
	for _, p := range e.route.in.Points {
		tp := TimePoint{Name: p.Name, Along: whole(p.Along), Share: m.shareAt(p.Along)}
		tp.P50, tp.P90 = when(tp.Share, half), when(tp.Share, nineInTen)
		if again := e.passedAgain(p.Along); again > 0 {
			tp.BackShare = m.shareAt(again)
			tp.BackP50, tp.BackP90 = when(tp.BackShare, half), when(tp.BackShare, nineInTen)
		}
		points = append(points, tp)
	}
	return points
}

// UnmarshalJSON reads the times and restores the share of each point: both of its times are the same share of the
// walk's, so their difference gives it, whatever the start. Rounding to seconds leaves an error below a hundredth.
func (t *Time) UnmarshalJSON(b []byte) error {
	type fields Time
	if err := json.Unmarshal(b, (*fields)(t)); err != nil {
		return err
	}
	spread := (t.P90 - t.P50).Duration()
	if spread <= 0 {
		return nil
	}
	share := func(p50, p90 Instant) unit.Fraction { return unit.Fraction(p90.Sub(p50.Time)) / unit.Fraction(spread) }
	for i, p := range t.Points {
		t.Points[i].Share, t.Points[i].BackShare = share(p.P50, p.P90), share(p.BackP50, p.BackP90)
	}
	return nil
}

// passedAgain returns the distance at which a place of the way out is passed again, zero where it is not.
func (e results) passedAgain(along unit.Length) unit.Length {
	profile := e.route.in.Profile
	if profile.Shape != track.OutAndBack || along <= 0 || along >= profile.Far() {
		return 0
	}
	return profile.Length - along
}

// paceOf makes the pace card for the mean climb and the mean descent. It is empty where package walk refuses a slope
// that is a cliff.
func paceOf(pace walk.Pace, legs []track.Leg) Pace {
	up, down := meanSlopes(legs)
	card, err := walk.NewCard(pace, up, down)
	if err != nil {
		return Pace{}
	}
	return Pace{Beat: card.Beat, Level: hundredth(card.Level.Step), Up: hundredth(card.Up.Step),
		Down: hundredth(card.Down.Step)}
}

// level is our judgment: a slope within 2 % is not felt and has no stride of its own.
const level unit.Slope = 0.02

// meanSlopes returns the rise over run of all climbing legs and of all falling legs, zero where there are none.
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
	AlpineClub       = "alpine club"
	NaismithLangmuir = "Naismith-Langmuir"
	ToblerOpinion    = "Tobler"
)

// differs is our judgment: about a third is worth a second look, and less is the spread between the rules themselves.
const differs = 0.30

// opinions are the walking times by other published rules. They are for one person without breaks on a path, so they
// are compared with our time for one person alone.
func (e results) opinions() map[string]Opinion {
	m, p := e.route.timing, e.route.in.Profile
	var langmuir time.Duration
	var tobler float64
	for _, l := range m.legs {
		langmuir += walk.Langmuir(l.To-l.From, l.Rise)
		tobler += (l.To - l.From).Metres() / walk.Tobler(l.Slope).MetresPerSecond()
	}
	alone := m.estimate.MovingP50.Seconds() / float64(e.route.in.Party.GroupFactor().Fraction())
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

// turnaround returns when to turn, and when to be at each named point, so that there is still time for the way home.
func (e results) turnaround() Turnaround {
	r := e.route
	back := r.timing.wayBack()
	var t Turnaround
	if r.in.Profile.Shape != track.OneWay {
		t.At, t.Because = r.latestAt(e.outcome, back, true)
	}
	if off, heat := r.deadline(e.outcome, 0); !off.IsZero() {
		t.OffTrail, t.OffTrailBecause = instant(off.Truncate(time.Minute)), r.deadlineWords(e.outcome, 0, heat)
	}
	if deadline, _ := r.deadline(e.outcome, back); !deadline.IsZero() {
		t.StartBy = instant(deadline.Add(-r.timing.reach(r.timing.far, half)).Truncate(time.Minute))
	}
	t.Points = []TurnPoint{}
	for _, p := range r.in.Points {
		at, because := r.latestAt(e.outcome, r.wayHome(p.Along), p.Along <= r.lastTurn())
		t.Points = append(t.Points, TurnPoint{Name: p.Name, Along: whole(p.Along), At: at, Because: because})
	}
	return t
}

func turnaroundFigures() []figure {
	const rules = "margin {margin}, factor {factor}"
	return []figure{
		{"at",
			"earliest of sunset - margin - way back x factor, off-by time - way back x factor, half of P90; none on " +
				"a way that ends elsewhere", rules, byPractice},
		{"off_trail_by", "earlier of sunset - margin and the off-by time", "margin {margin}", byPractice},
		{"start_by", "the turnaround by daylight or heat - time to the far point", rules, byPractice},
		{"points[].at_m", "distance from the start of the walk", "the trail's points", track.Source},
		{"points[].at", "as the turnaround, with the point's own way home", rules, byPractice},
	}
}

// byWater begins with the word that TurnsByWater looks for: stored plans have it.
const byWater = "water: half of what each person carries is drunk by then"

// TurnsByWater reports whether half the water sets the turnaround, and no clock of the day.
func (t Turnaround) TurnsByWater() bool { return strings.HasPrefix(t.Because, "water") }

// latestAt returns the earliest of three limits at a place with a way home: daylight, heat and, where the party turns
// back there, half the water.
func (r *route) latestAt(m outcome, home time.Duration, turns bool) (at Instant, because string) {
	if turns {
		// Common practice, no source: turn when half the water is gone. Water is carried for
		// the nine-in-ten time, so half of it lasts half of that.
		at, because = instant(m.start.Add(r.timing.estimate.P90/2)), byWater
	}
	if end, heat := r.deadline(m, home); !end.IsZero() && (at.IsZero() || end.Before(at.Time)) {
		at, because = instant(end), r.deadlineWords(m, home, heat)
	}
	if at.IsZero() {
		return at, ""
	}
	return instant(at.Truncate(time.Minute)), because // never later than computed
}

// deadline returns the earlier of daylight and heat, less the way home lengthened by the return factor, and whether it
// is heat. It is zero where neither sets a limit.
func (r *route) deadline(m outcome, home time.Duration) (at time.Time, heat bool) {
	home = r.lengthened(home)
	if set := r.day.light.Set; !set.IsZero() {
		at = set.Add(-r.in.Rules.DaylightMargin - home)
	}
	if hot := m.offBy.Add(-home); !m.offBy.IsZero() && (at.IsZero() || hot.Before(at)) {
		return hot, true
	}
	return at, false
}

func (r *route) lengthened(home time.Duration) time.Duration {
	return time.Duration(float64(home) * float64(r.in.Rules.ReturnFactor))
}

func (r *route) deadlineWords(m outcome, home time.Duration, heat bool) string {
	back := ""
	if home > 0 {
		back = fmt.Sprintf(", less %s for the way back", span(r.lengthened(home)))
	}
	if heat {
		return fmt.Sprintf("heat: the open trail passes its limit at %s%s", clock(m.offBy), back)
	}
	return fmt.Sprintf("daylight: sunset at %s, less a margin of %s%s",
		clock(r.day.light.Set), span(r.in.Rules.DaylightMargin), back)
}

// wayHome returns the expected time from a place to the end of the walk: by turning back, or by going on where that is
// shorter or where the way out is over.
func (r *route) wayHome(along unit.Length) time.Duration {
	onward := r.timing.estimate.P50 - r.timing.reach(along, half)
	if along <= 0 {
		return 0 // at the trailhead there is nothing to walk back
	}
	if along > r.lastTurn() {
		return onward
	}
	turned, err := newTiming(r.in, cutShort(r.timing.legs, along), along)
	if err != nil {
		return onward // too near the start to be a walk
	}
	return min(onward, turned.wayBack())
}

func clock(t time.Time) string { return t.Format("15:04") }

// span writes a duration to the minute, as people say it.
func span(d time.Duration) string {
	m := int(d.Round(time.Minute) / time.Minute)
	switch {
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	default:
		return fmt.Sprintf("%d h %02d", m/60, m%60)
	}
}
