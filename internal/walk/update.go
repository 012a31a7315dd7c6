package walk

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/unit"
)

// Update returns the estimate after one report: the share of the planned work that is done, and the time since
// departure. Quantiles still count from departure.
//
// The model: every part of the walk takes its planned time, times a factor for the whole day (log-normal, Group),
// times a factor for that part alone (log-normal, Route; wider for a shorter part, where less averages out, but with
// the same mean). The day's factor is learned by the conjugate rule for a normal mean with a known spread (Gelman et
// al., Bayesian Data Analysis, 3rd ed. 2013, section 2.5); the route still to go keeps its own. In this model the
// newest report contains all that earlier ones said, so updates do not accumulate: each starts from the plan.
func (e Estimate) Update(done unit.Fraction, elapsed time.Duration) (Estimate, error) {
	if err := e.checkReport(done, elapsed); err != nil {
		return Estimate{}, err
	}
	e.Done, e.Past = done, elapsed
	day, doubt := e.learn(done, elapsed-e.Waited)
	toGo := e.planned() * float64(1-done) * math.Exp(day+e.partMiddle(1-done))
	e.Sigma = unit.Fraction(math.Sqrt(doubt + e.partVariance(1-done)))
	e.P50 = elapsed + nanoseconds(toGo)
	e.P90 = e.Quantile(0.90)
	return e, nil
}

func (e Estimate) checkReport(done unit.Fraction, elapsed time.Duration) error {
	switch {
	case !(done >= 0 && done <= 1):
		return fmt.Errorf("share of the work done %g is not between 0 and 1", float64(done))
	case elapsed < 0 || elapsed > longestWalk:
		return fmt.Errorf("time since departure %s is not between 0 and %s", elapsed, longestWalk)
	case elapsed < e.Waited:
		return fmt.Errorf("time since departure %s is less than the %s waited", elapsed, e.Waited)
	case done > 0 && elapsed == e.Waited:
		return fmt.Errorf("share of the work done %g in no time at all", float64(done))
	}
	return nil
}

// planned returns the median time of the plan in nanoseconds.
func (e Estimate) planned() float64 { return float64(e.MovingP50 + e.Breaks) }

// leastLesson is our judgment: a thousandth of the work is still the trailhead.
const leastLesson unit.Fraction = 0.001

// learn returns the mean and variance of the day's log factor after walking a share of the work in a time. Almost no
// walking teaches nothing.
func (e Estimate) learn(done unit.Fraction, walked time.Duration) (mean, variance float64) {
	prior := float64(e.Group * e.Group)
	if done < leastLesson || prior == 0 {
		return 0, prior
	}
	seen := math.Log(float64(walked)/(e.planned()*float64(done))) - e.partMiddle(done)
	noise := e.partVariance(done)
	trust := prior / (prior + noise)
	return trust * seen, (1 - trust) * prior
}

// partVariance returns the log variance of the route's own factor over a share of the
// work. Independent delays along the way give a part of share w the squared coefficient
// of variation c^2/w; the log-normal with that coefficient has log variance
// ln(1 + c^2/w) (Aitchison and Brown 1957, The Lognormal Distribution). The whole route
// has exactly Route squared.
func (e Estimate) partVariance(share unit.Fraction) float64 {
	if share <= 0 {
		return 0
	}
	whole := math.Expm1(float64(e.Route * e.Route))
	return math.Log1p(whole / float64(share))
}

// partMiddle returns the log of the median of the route's own factor over a share of the work. Delays add up along
// the way, so every part has the same mean factor. A short part is more skewed, and its median is further below its
// mean (log-normal: the mean is the median times exp of half the log variance, Aitchison and Brown 1957). It is zero
// for the whole.
func (e Estimate) partMiddle(share unit.Fraction) float64 {
	if share <= 0 {
		return 0
	}
	return (float64(e.Route*e.Route) - e.partVariance(share)) / 2
}

// Delay returns the estimate moved later by an unplanned stop, such as waiting out thunder. Call it when the stop is
// over or its length is known.
func (e Estimate) Delay(by time.Duration) (Estimate, error) {
	if by < 0 || by > longestWalk-e.Waited {
		return Estimate{}, fmt.Errorf("delay %s is not between 0 and %s", by, longestWalk)
	}
	e.Waited += by
	e.Past += by
	e.P50 += by
	e.P90 += by
	return e, nil
}
