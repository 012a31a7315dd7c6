package watch_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
	"saltbush/internal/watch"
)

// inTrouble is the share of hikes that never come back on their own.
const inTrouble = 0.01

// seasonSize is how many hikes a simulated season has. The table of DefaultMargins is from a
// long one.
func seasonSize() int {
	if os.Getenv("SALTBUSH_LONG") != "" {
		return 10_000
	}
	return 2_000
}

// outing is one simulated hike. moments has the state of the roll after each report, the
// departure first.
type outing struct {
	promise watch.Promise
	moments []moment
	back    time.Time // when the party is back unless it gets into trouble
	trouble time.Time // when it would get into trouble
	lost    bool      // whether it does
}

type moment struct {
	at    time.Time
	state party.State
}

// season draws hikes from the planning model, so its answers are as good as the model.
// contact is the share of hikes that report counts and delays.
func season(t *testing.T, contact float64) []outing {
	t.Helper()
	r := rand.New(rand.NewPCG(1968, 2026))
	hikes := make([]outing, seasonSize())
	for i := range hikes {
		hikes[i] = drawOuting(t, r, r.Float64() < contact)
	}
	return hikes
}

// drawOuting draws a walk out and back, who comes, and how it goes. Our judgment: one day in
// five is hot on an exposed trail and one group in ten has a minor.
func drawOuting(t *testing.T, r *rand.Rand, heard bool) outing {
	t.Helper()
	way := drawWay(r)
	party := walk.Party{Participants: 3 + r.IntN(12), Staff: 2,
		Pace: []walk.Pace{walk.Gentle, walk.Ordinary, walk.Brisk}[r.IntN(3)]}
	e, err := walk.NewEstimate(way, party)
	if err != nil {
		t.Fatal(err)
	}
	o := outing{promise: watch.Promise{Scheduled: at(6, 30), P50: e.P50, P90: e.P90, Adults: party.People(),
		HeatFlag: r.Float64() < 0.2, Minors: r.Float64() < 0.1}}
	out := len(way) / 2
	for i := range out {
		o.promise.Points = append(o.promise.Points, pointAfter(e, i, len(way)-2-i))
	}
	left := o.promise.Scheduled.Add(time.Duration(r.IntN(25)-5) * time.Minute)
	passed := drawWalk(r, e)
	o.back = left.Add(passed[len(passed)-1])
	o.trouble = left.Add(time.Duration(r.Float64() * float64(o.back.Sub(left))))
	o.lost = r.Float64() < inTrouble
	o.report(left, passed, heard)
	return o
}

// drawWay draws two to five legs of 0.6 to 1.8 km, mostly uphill, and the same way back.
func drawWay(r *rand.Rand) []walk.Leg {
	var way []walk.Leg
	for range 2 + r.IntN(4) {
		way = append(way, walk.Leg{Length: unit.Length(600 + 1200*r.Float64()),
			Slope: unit.Slope(max(-0.1, min(0.25, 0.06+0.07*r.NormFloat64())))})
	}
	for _, l := range slices.Backward(slices.Clone(way)) {
		way = append(way, walk.Leg{Length: l.Length, Slope: -l.Slope})
	}
	return way
}

func pointAfter(e walk.Estimate, leg, again int) watch.Point {
	p := watch.Point{Name: fmt.Sprintf("point %d", leg+1), Share: e.Ends[leg]}
	if again > leg {
		p.BackShare = e.Ends[again]
	}
	return p
}

// drawWalk draws when the end of each leg is passed, with a factor for the day and one for
// each leg.
func drawWalk(r *rand.Rand, e walk.Estimate) []time.Duration {
	day := math.Exp(float64(e.Group) * r.NormFloat64())
	route := float64(e.Route * e.Route)
	var passed []time.Duration
	sum, before := 0.0, unit.Fraction(0)
	for _, end := range e.Ends {
		share := float64(end - before)
		before = end
		v := math.Log1p(math.Expm1(route) / share)
		sum += float64(e.P50) * share * day * math.Exp((route-v)/2+math.Sqrt(v)*r.NormFloat64())
		passed = append(passed, time.Duration(sum))
	}
	return passed
}

// report makes the reports of a hike. The departure is reported at the trailhead. With
// signal, there is a count at each point but the trailhead, and staff who are ten minutes
// behind the plan, beyond the delays reported so far, report it to the next five minutes.
func (o *outing) report(left time.Time, passed []time.Duration, heard bool) {
	first := departed()
	first.At = left
	events := []party.Event{first}
	o.moments = []moment{{left, fold(events...)}}
	if !heard {
		return
	}
	reported := time.Duration(0)
	for i, after := range passed[:len(passed)-1] {
		here := o.promise.Points[min(i, len(passed)-2-i)]
		share := here.Share
		if i >= len(passed)/2 {
			share = here.BackShare
		}
		planned := time.Duration(float64(share) * float64(o.promise.P50))
		now := left.Add(after)
		events = append(events, counted(2+2*i, now, here.Name))
		if behind := after - planned - reported; behind >= 10*time.Minute {
			by := int(math.Ceil(behind.Minutes()/5)) * 5
			reported += time.Duration(by) * time.Minute
			events = append(events, stopped(3+2*i, now, by))
		}
		o.moments = append(o.moments, moment{now, fold(events...)})
	}
}

// tally is the effect of some margins on a season.
type tally struct {
	fine, lost                   int
	uncertainty, alert, distress int       // parties without trouble that reach the phase
	delays                       []float64 // minutes from trouble to the call
}

// judge plays a season under margins. The delays are those of every hike as if each got into
// trouble, because a hundred real cases give no stable ninth decile.
func judge(t *testing.T, hikes []outing, m watch.Margins) tally {
	t.Helper()
	var c tally
	for _, o := range hikes {
		o.promise.Margins = m
		c.delays = append(c.delays, max(0, o.callAfterTrouble(t).Sub(o.trouble).Minutes()))
		if o.lost {
			c.lost++
			continue
		}
		c.fine++
		switch worst := o.worstWhileFine(); {
		case worst >= watch.Distress.Urgency():
			c.distress++
			fallthrough
		case worst >= watch.Alert.Urgency():
			c.alert++
			fallthrough
		case worst >= watch.Uncertainty.Urgency():
			c.uncertainty++
		}
	}
	return c
}

// worstWhileFine is the most urgent phase that a party without trouble is ever in.
func (o outing) worstWhileFine() int {
	worst := 0
	for i, m := range o.moments {
		until := o.back
		if i+1 < len(o.moments) {
			until = o.moments[i+1].at
		}
		worst = max(worst,
			watch.PhaseAt(until.Add(-time.Nanosecond), watch.TimesFor(o.promise, m.state), m.state).Urgency())
	}
	return worst
}

// callAfterTrouble is when help is called for a party that falls silent in trouble. It checks
// that the phase is distress then and not before.
func (o outing) callAfterTrouble(t *testing.T) time.Time {
	t.Helper()
	last := o.moments[0]
	for _, m := range o.moments {
		if m.at.Before(o.trouble) {
			last = m
		}
	}
	times := watch.TimesFor(o.promise, last.state)
	if got := watch.PhaseAt(times.Call, times, last.state); got != watch.Distress {
		t.Errorf("a party in trouble is in phase %q at its call time", got)
	}
	if got := watch.PhaseAt(times.Call.Add(-time.Nanosecond), times, last.state); got == watch.Distress {
		t.Errorf("distress before the call time, without a call for help")
	}
	return times.Call
}

func percent(n, of int) float64 { return 100 * float64(n) / float64(of) }

func (c tally) line(name string) string {
	slices.Sort(c.delays)
	mean := 0.0
	for _, d := range c.delays {
		mean += d / float64(len(c.delays))
	}
	return fmt.Sprintf("%-26s %8.0f %8.0f %12.2f %8.2f %8.2f", name, mean, c.delays[len(c.delays)*9/10],
		percent(c.uncertainty, c.fine), percent(c.alert, c.fine), percent(c.distress, c.fine))
}

const tableHead = "watch, wait (urgent)       delay mean      P90  uncertainty    alert distress  (% of parties that " +
	"are fine)"

// In a season under the defaults, help is called for every real case and few others.
func TestSeason(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name     string
		contact  float64
		distress float64 // percent; see DefaultMargins for the goal
	}{
		{"no contact", 0, 2},
		{"contact on half", 0.5, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			hikes := season(t, tt.contact)
			c := judge(t, hikes, watch.DefaultMargins())
			t.Logf("%d of %d in trouble\n%s\n%s", c.lost, len(hikes), tableHead, c.line("defaults"))
			if float64(c.lost) < float64(len(hikes))*inTrouble/2 {
				t.Fatalf("only %d hikes in trouble", c.lost)
			}
			if got := percent(c.uncertainty, c.fine); got >= 12 {
				t.Errorf("%.2f %% of fine parties wake somebody, want under 12 %%", got)
			}
			if got := percent(c.distress, c.fine); got >= tt.distress {
				t.Errorf("%.2f %% of fine parties are called for, want under %g %%", got, tt.distress)
			}
		})
	}
}

// What each margin costs: the table in the comment of DefaultMargins.
func TestSeasonTable(t *testing.T) {
	t.Parallel()
	for _, contact := range []float64{0, 0.5} {
		hikes := season(t, contact)
		rows := []string{fmt.Sprintf("contact on %.0f %% of hikes", 100*contact), tableHead}
		for _, share := range []unit.Fraction{0.85, 0.90, 0.95} {
			last := math.Inf(1)
			for _, wait := range []int{30, 45, 60, 90} {
				m := watch.Margins{Watch: share, Widen: 30 * time.Minute, Call: time.Duration(wait) * time.Minute,
					Urgent: 30 * time.Minute}
				c := judge(t, hikes, m)
				rows = append(rows, c.line(fmt.Sprintf("P%.0f, %d min (30 min)", 100*float64(share), wait)))
				if d := percent(c.distress, c.fine); d > last {
					t.Errorf("a longer wait of %d min raises false distress from %.2f to %.2f %%", wait, last, d)
				} else {
					last = d
				}
			}
		}
		t.Log("\n" + strings.Join(rows, "\n"))
	}
}

// The outlook is calibrated if there is contact: by the count half way through, half of the
// parties are back by its likely time and nine in ten by its late one.
func TestSeasonOutlookKeepsItsWord(t *testing.T) {
	t.Parallel()
	early, late, all := 0, 0, 0
	for _, o := range season(t, 1) {
		m := o.moments[len(o.moments)/2]
		if m.state.Delay > 0 { // a reported delay comes from the staff, not from the model
			continue
		}
		look := watch.CurrentEstimate(o.promise, m.state, m.at)
		if look.From == nil {
			continue
		}
		all++
		if !o.back.After(look.Likely) {
			early++
		}
		if !o.back.After(look.Late) {
			late++
		}
	}
	t.Logf("of %d parties %.1f %% are back by the likely time, %.1f %% by the late one",
		all, percent(early, all), percent(late, all))
	if math.Abs(percent(early, all)-50) > 2 || math.Abs(percent(late, all)-90) > 2 {
		t.Error("want 50 and 90, within 2")
	}
}
