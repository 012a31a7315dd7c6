package signup

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Background is what is known about a person's fitness before a hike.
type Background struct {
	// HotDays is on how many of the last 14 days they were active in heat.
	HotDays int
	// SinceHot is how many days have passed since the last of them.
	SinceHot int
	// Returning means that they were used to heat before, in a past season or job.
	Returning bool
	// Longest is their longest recent walk; the zero value is unknown.
	Longest Outing
	// InTheirWords is the longest walk as they described it, for when Longest is unknown.
	InTheirWords string
}

// Outing is a walk in figures. A climb or a time of zero is unknown.
type Outing struct {
	Distance unit.Length
	Ascent   unit.Length
	Took     time.Duration
}

// Readiness is what a leader may want to talk about with a person. It is not a verdict and has
// nothing medical in it.
type Readiness struct {
	// Used is how far the person is used to heat, from 0 to 1.
	Used unit.Fraction
	// Share is how much of an ordinary day in heat is suggested for this one.
	Share unit.Fraction
	// HeatCap is the suggested longest time in heat; zero if the day is not hot or no limit is
	// needed.
	HeatCap time.Duration
	// Stretch is this walk divided by the longest recent one; zero if unknown.
	Stretch unit.Fraction
	// Talk has whole sentences to talk about, and Ask what is not known yet.
	Talk, Ask []string
}

const (
	// Hot days count within this many days: heat tolerance builds over 7 to 14 days (NIOSH
	// 2016-106).
	hotWindow = 14
	// Days of heat until a person is used to it: NIOSH's schedule for new workers reaches the
	// whole day on the fifth.
	daysToBuild = 5
	// Daanen et al. 2018 (Sports Med 48:409-430): about 2.5 % of the adaptation is lost with
	// each day without heat, after five or more days of building it. Our judgment: adaptation
	// from fewer days is lost at the same rate.
	lostEachDay = 0.025
	// Our judgment: an ordinary day on foot in heat. The steps are shares of it.
	ordinaryDay = 5 * time.Hour
	// Our judgment: a walk up to a quarter longer than the longest recent one is no stretch,
	// and one that is twice as long is a different undertaking.
	someStretch, bigStretch unit.Fraction = 1.25, 2
)

// warmDay is the temperature from which shade must be offered at work (California Title 8
// s.3395): 80 F. Our judgment: below it a day is not hot, and being used to heat does not
// matter.
var warmDay = unit.Fahrenheit(80)

// newcomerSteps and returnerSteps are the shares of a usual day that NIOSH 2016-106 allows on
// the first day in heat, the second and so on: 20 % more each day for people new to it, and 50,
// 60, 80 and 100 % for people who were used to it before.
func newcomerSteps() []unit.Fraction { return []unit.Fraction{0.20, 0.40, 0.60, 0.80, 1} }
func returnerSteps() []unit.Fraction { return []unit.Fraction{0.50, 0.60, 0.80, 1} }

// UsedToHeat returns how far a person is used to heat: a fifth for each hot day, up to 1, less
// what was lost on the days without heat.
func (b Background) UsedToHeat() unit.Fraction {
	built := min(1, unit.Fraction(b.HotDays)/daysToBuild)
	return built * max(0, 1-lostEachDay*unit.Fraction(b.SinceHot))
}

// HeatShare returns the suggested share of an ordinary day in heat: the step after the hot days
// so far, less what was lost since, but at least the first step.
func (b Background) HeatShare() unit.Fraction {
	steps := newcomerSteps()
	if b.Returning {
		steps = returnerSteps()
	}
	kept := max(0, 1-lostEachDay*unit.Fraction(b.SinceHot))
	return max(steps[0], steps[min(b.HotDays, len(steps)-1)]*kept)
}

// Readiness compares a person's background with a plan.
func (b Background) Readiness(p plan.Plan) Readiness {
	r := Readiness{Used: b.UsedToHeat(), Share: b.HeatShare(), Stretch: b.Longest.stretch(p)}
	r.heat(b, p)
	r.length(b, p)
	return r
}

// ReadinessOf returns the readiness of a person who signed up. The form does not ask how long
// ago the hot days were, so the leader is asked to.
func ReadinessOf(s SignUp, p plan.Plan) Readiness {
	b := Background{HotDays: max(0, min(s.HotDays, hotWindow)), InTheirWords: s.LongestWalk,
		Returning: s.SelfReport.HotBefore && s.SelfReport.LivesHere, Longest: s.SelfReport.Walk}
	if s.SelfReport.WalkAgo > walkWindow {
		b.Longest = Outing{}
	}
	r := b.Readiness(p)
	if b.HotDays > 0 && p.Heat.PeakAir >= warmDay {
		r.Ask = append(r.Ask, "When was your last day in the heat?")
	}
	return r
}

func (r *Readiness) heat(b Background, p plan.Plan) {
	if p.Heat.PeakAir < warmDay || r.Share >= 1 {
		return
	}
	r.HeatCap = time.Duration(float64(r.Share) * float64(ordinaryDay)).Truncate(15 * time.Minute)
	r.Talk = append(r.Talk,
		fmt.Sprintf("%s. For a day like this the usual steps suggest about %s in the heat; nine such parties in ten "+
			"are back within %s.",
			b.heatWords(), spell(r.HeatCap), spell(p.Time.P90.Duration())))
	if p.Time.P90.Duration() > r.HeatCap {
		r.Talk = append(r.Talk,
			"Talk about a shorter way, a cooler date, or walking in the heat a little on the days before.")
	}
	if b.HotDays == 0 && !b.Returning {
		r.Ask = append(r.Ask, "Have you lived or worked in such heat before?")
	}
}

func (b Background) heatWords() string {
	switch {
	case b.HotDays == 0 && b.Returning:
		return "They know heat, but have not been active in it in the last 14 days"
	case b.HotDays == 0:
		return "They have not been active in heat in the last 14 days"
	case b.SinceHot > 0:
		return fmt.Sprintf("They were active in heat on %d of the last 14 days, the last %d days ago",
			b.HotDays, b.SinceHot)
	default:
		return fmt.Sprintf("They were active in heat on %d of the last 14 days", b.HotDays)
	}
}

func (r *Readiness) length(b Background, p plan.Plan) {
	this := fmt.Sprintf("This one is %.1f km (%.1f mi) with %.0f m (%.0f ft) of climb, and takes about %s.",
		p.Trail.Distance.Kilometres(),
		p.Trail.Distance.Miles(), p.Trail.Ascent.Metres(), p.Trail.Ascent.Feet(), spell(p.Time.P50.Duration()))
	switch {
	case r.Stretch == 0 && b.InTheirWords != "":
		r.Talk = append(r.Talk, fmt.Sprintf("Of their longest recent walk they say: %q. %s", b.InTheirWords, this))
	case r.Stretch == 0:
		r.Ask = append(r.Ask,
			"What was your longest walk of the last weeks, how long did it take, and how did you feel after it?")
	case r.Stretch > bigStretch:
		r.Talk = append(r.Talk,
			fmt.Sprintf("This walk is %.1f times their longest recent one. Talk about a shorter walk first. %s",
				float64(r.Stretch), this))
	case r.Stretch > someStretch:
		r.Talk = append(r.Talk,
			fmt.Sprintf("This walk is %.1f times their longest recent one. Ask how they felt after that. %s",
				float64(r.Stretch), this))
	}
}

// stretch compares the plan's time with the outing's, if that is known. Otherwise it compares
// Naismith's times for the distance and climb of both. Zero is unknown.
func (o Outing) stretch(p plan.Plan) unit.Fraction {
	if o.Took > 0 {
		return unit.Fraction(p.Time.P50.Duration().Hours() / o.Took.Hours())
	}
	had := walk.Naismith(o.Distance, o.Ascent)
	if had <= 0 {
		return 0
	}
	return unit.Fraction(walk.Naismith(p.Trail.Distance, p.Trail.Ascent).Hours() / had.Hours())
}

// spell writes a duration to the quarter of an hour.
func spell(d time.Duration) string { return format.Duration(d.Round(15 * time.Minute)) }
