package watch_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// Our judgment, no source: on one hike in eight two people turn back early, nine pairs in ten record
// that they are at the car, and on-call reaches nine in ten of the others by phone within ten minutes
// of asking.
const (
	earlyPairs  = 1.0 / 8
	recordsCar  = 0.9
	answersCall = 0.9
	ringing     = 10 * time.Minute
)

// pair is two people of an outing who turn back early. at is when they leave the party, atCar when
// somebody knows that they are at the car.
type pair struct {
	left, atCar party.Event
}

// drawPair draws a pair that turns back on the way out. It expects to need as long back as out.
func drawPair(r *rand.Rand, o outing) pair {
	left := o.moments[0].at
	out := time.Duration(float64(o.promise.P50) * (0.1 + 0.35*r.Float64())).Round(5 * time.Minute)
	p := pair{left: event(8, party.KindLeftEarly, left.Add(out), person(3)), atCar: event(9, party.KindAtCar,
		left, person(3), person(4))}
	p.left.Buddies, p.left.To, p.left.Minutes = []party.PersonID{person(4)}, "own car", int(out.Minutes())
	took := time.Duration(float64(out) * math.Exp(0.2*r.NormFloat64()))
	p.atCar.At = p.left.At.Add(took)
	if r.Float64() >= recordsCar {
		asked := p.left.At.Add(2*out + ringing)
		p.atCar.At = later(p.atCar.At, asked)
		if r.Float64() >= answersCall {
			p.atCar.At = later(o.back, asked) // seen at the lot when the party is back
		}
	}
	return p
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// A pair that leaves early has a clock of its own. It moves none of the party's, is called for on time
// if nobody hears of it, and with it a season still calls for few that are fine.
func TestSeasonWithEarlyPairs(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 1913))
	fine, called, pairs := 0, 0, 0
	for _, o := range season(t, 0.5) {
		o.promise.Margins = watch.DefaultMargins()
		if o.lost {
			continue
		}
		fine++
		worst := o.worstWhileFine()
		if r.Float64() < earlyPairs {
			pairs++
			worst = max(worst, worstOfPair(t, o, drawPair(r, o)))
		}
		if worst >= watch.Distress.Urgency() {
			called++
		}
	}
	t.Logf("%d hikes without trouble, %d early pairs, %.2f %% called for", fine, pairs, percent(called, fine))
	if got := percent(called, fine); got >= 1 {
		t.Errorf("%.2f %% of fine hikes are called for, want under 1 %%", got)
	}
	if float64(pairs) < float64(fine)*earlyPairs/2 {
		t.Errorf("only %d pairs left early: the season shows little", pairs)
	}
}

// worstOfPair is the most urgent phase of a fine pair's own clock, just before somebody knows that it
// is at the car.
func worstOfPair(t *testing.T, o outing, p pair) int {
	t.Helper()
	first := departed()
	first.At = o.moments[0].at
	without := caseWith(o.promise, fold(first))
	c := caseWith(o.promise, fold(first, p.left))
	alarms := c.Alarms()
	if len(alarms) != 1 {
		t.Fatalf("%d alarms for one pair", len(alarms))
	}
	a := alarms[0]
	promised := p.left.At.Add(2*time.Duration(p.left.Minutes)*time.Minute + o.promise.Margins.Urgent)
	if a.Call.Before(promised) || a.Call.Sub(promised) >= time.Minute {
		t.Errorf("a pair that left at %v for %d min is called for at %v, want %v, up to the minute", p.left.At,
			p.left.Minutes, a.Call, promised)
	}
	if a.Phase(a.Call) != watch.Distress || a.Phase(a.Call.Add(-time.Nanosecond)) == watch.Distress {
		t.Errorf("distress of a pair does not begin at its call time")
	}
	if diff := cmp.Diff(without.Times, c.Times); diff != "" {
		t.Errorf("a pair that left early moved the party's clocks (-without +with):\n%s", diff)
	}
	over := caseWith(o.promise, fold(first, p.left, p.atCar))
	if got := over.Alarms()[0]; got.Running() || got.Phase(a.Call.Add(time.Hour)) != watch.OnTime {
		t.Errorf("the pair is at the car, and its alarm runs on")
	}
	return a.Phase(p.atCar.At.Add(-time.Nanosecond)).Urgency()
}
