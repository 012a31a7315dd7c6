package sample

import (
	"os"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

func mustTrails(t *testing.T) []trail.Trail {
	t.Helper()
	list, _, err := trails(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// hours returns times of starts of the demo: every hour of four days of the year, and every
// five minutes around a dusk, which is the hardest. Without SALTBUSH_LONG=1 it returns a third
// of them, with every hour on one of the days.
func hours() (list []time.Time) {
	each := 3
	if os.Getenv("SALTBUSH_LONG") != "" {
		each = 1
	}
	for i, day := range []time.Time{
		time.Date(2026, 1, 12, 0, 7, 0, 0, time.UTC), time.Date(2026, 4, 3, 0, 7, 0, 0, time.UTC),
		time.Date(2026, 7, 9, 0, 7, 0, 0, time.UTC), time.Date(2026, 9, 25, 0, 7, 0, 0, time.UTC),
	} {
		for n := i % each; n < 24; n += each {
			list = append(list, day.Add(time.Duration(n)*time.Hour))
		}
	}
	dusk := time.Date(2026, 11, 26, 0, 45, 31, 0, time.UTC)
	for n := 0; n < 48; n += each {
		list = append(list, dusk.Add(time.Duration(n-4)*5*time.Minute))
	}
	return list
}

func TestTodayAtEveryHour(t *testing.T) {
	t.Parallel()
	list := mustTrails(t)
	for _, now := range hours() {
		t.Run(now.In(list[0].Location()).Format("Jan 2 15:04"), func(t *testing.T) {
			t.Parallel()
			s := emptySeason(now, list)
			if err := s.addToday(); err != nil {
				t.Fatal(err)
			}
			out, late, open := s.outings[0], s.outings[1], s.outings[2]
			if got := out.phase(now); got != watch.OnTime {
				t.Errorf("the first is %q, want on time", got)
			}
			if got := late.phase(now); got != watch.Uncertainty {
				t.Errorf("the second is %q, want uncertainty", got)
			}
			for _, o := range s.outings[:2] {
				if o.received.After(now) || now.Sub(o.events[0].At) > 8*time.Hour {
					t.Errorf("%q: events from %v to %v", o.hike.Title, o.events[0].At, o.received)
				}
			}
			checkUndecided(t, open, now)
		})
	}
}

func checkUndecided(t *testing.T, o outing, now time.Time) {
	t.Helper()
	ahead := o.hike.Start.Sub(now)
	if !o.hike.AwaitsDecision() || ahead < soonest || ahead > 24*time.Hour {
		t.Errorf("%v before its start it is %s with the decision %v", ahead, o.hike.State, o.hike.Decision)
	}
	if at := o.hike.Start.Hour(); at < 5 || at > 10 {
		t.Errorf("it starts at %v, want a morning", o.hike.Start)
	}
	if o.plan.Plan.Verdict.Decision == plan.Go {
		t.Errorf("its plan says go: %+v", *o.hike.Forecast)
	}
}

// The scenario must be plausible at any time of year: no hike goes against its plan without a
// reason.
func TestSeasonsOfTheYear(t *testing.T) {
	t.Parallel()
	list := mustTrails(t)
	for _, month := range []time.Month{time.January, time.April, time.July, time.November} {
		t.Run(month.String(), func(t *testing.T) {
			now := time.Date(2026, month, 12, 17, 30, 0, 0, time.UTC)
			s, err := newSeason(now, list)
			if err != nil {
				t.Fatal(err)
			}
			titles, closed, off := map[string]bool{}, 0, 0
			for _, o := range s.outings {
				if titles[o.hike.Title] {
					t.Errorf("two hikes are called %q", o.hike.Title)
				}
				titles[o.hike.Title] = true
				if err := o.hike.Validate(); err != nil {
					t.Errorf("%q: %v", o.hike.Title, err)
				}
				if o.closes {
					closed++
					checkWentOut(t, o)
				}
				if o.calledOff != "" {
					off++
				}
			}
			if closed != 13 || off != 1 || len(s.outings) != 14+3+11 {
				t.Errorf("%d closed, %d called off, %d in all", closed, off, len(s.outings))
			}
		})
	}
}

func checkWentOut(t *testing.T, o outing) {
	t.Helper()
	if v := o.plan.Plan.Verdict.Decision; v == plan.Cancel || v == plan.Change && o.hike.Decision.Reason == "" {
		t.Errorf("%q went although its plan says %s, for the reason %q", o.hike.Title, v, o.hike.Decision.Reason)
	}
}
