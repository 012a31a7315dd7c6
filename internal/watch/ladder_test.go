package watch_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// rows writes a ladder as minutes after the watch time, step and owners.
func rows(rungs []watch.Rung, from time.Time) []string {
	var list []string
	for _, r := range rungs {
		list = append(list, fmt.Sprintf("%d %s %v", int(r.At.Sub(from).Minutes()), r.Step, r.Who))
	}
	return list
}

func exact() watch.Promise {
	return watch.Promise{Scheduled: at(6, 30), P50: 4 * time.Hour, P90: 5 * time.Hour, Adults: 8}
}

func TestLadder(t *testing.T) {
	urgent := exact()
	urgent.HeatFlag = true
	tests := []struct {
		name   string
		times  watch.Times
		deputy bool
		want   []string
	}{
		{"usual", watch.TimesFor(exact(), fold(departed())), true, []string{
			"-60 expected [on-call]", "0 watch [on-call]", "10 watch-deputy [deputy]",
			"20 watch-coordinator [coordinator]",
			"30 widen [on-call coordinator]", "60 call [on-call deputy coordinator]",
			"70 call-again [on-call deputy coordinator]"}},
		{"urgent: the call overtakes the widening", watch.TimesFor(urgent, fold(departed())), true, []string{
			"-60 expected [on-call]", "0 watch [on-call]", "10 watch-deputy [deputy]",
			"20 watch-coordinator [coordinator]",
			"30 call [on-call deputy coordinator]", "40 call-again [on-call deputy coordinator]"}},
		{"no deputy", watch.TimesFor(exact(), fold(departed())), false, []string{
			"-60 expected [on-call]", "0 watch [on-call]", "10 watch-coordinator [coordinator]",
			"30 widen [on-call coordinator]", "60 call [on-call coordinator]", "70 call-again [on-call coordinator]"}},
		{"trouble: the call comes at once", watch.TimesFor(exact(), fold(departed(), trouble(2, at(8, 0)))), true,
			[]string{
				"0 call [on-call deputy coordinator]", "10 call-again [on-call deputy coordinator]",
				"150 expected [on-call]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, rows(watch.Ladder(tt.times, tt.deputy), tt.times.Watch)); diff != "" {
				t.Errorf("ladder, minutes from watch (-want +got):\n%s", diff)
			}
		})
	}
}

// On-call is asleep.
func TestOnCallAsleep(t *testing.T) {
	s := fold(departed())
	rungs := map[watch.Step]watch.Rung{}
	for _, r := range watch.Ladder(watch.TimesFor(exact(), s), true) {
		rungs[r.Step] = r
	}
	tests := []struct {
		name         string
		step         watch.Step
		now          time.Time
		acknowledged bool
		want         bool
	}{
		{"on-call at the watch time", watch.StepWatch, at(11, 30), false, true},
		{"not before", watch.StepWatch, at(11, 29), false, false},
		{"deputy after ten minutes", watch.StepWatchDeputy, at(11, 40), false, true},
		{"deputy sleeps on if on-call answered", watch.StepWatchDeputy, at(11, 40), true, false},
		{"then the coordinator", watch.StepWatchCoordinator, at(11, 50), false, true},
		{"call fires whoever answered the watch", watch.StepCall, at(12, 30), true, true},
		{"late after an outage", watch.StepWatch, at(14, 0), false, true},
		{"the likely return wakes nobody", watch.StepExpected, at(11, 0), false, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := rungs[tt.step].Fires(tt.now, s, tt.acknowledged); got != tt.want {
				t.Errorf("fires = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestRungsAreCheckedAgainstTheRoll(t *testing.T) {
	watchRung := watch.Rung{Step: watch.StepWatch, At: at(11, 30)}
	call := watch.Rung{Step: watch.StepCall, At: at(12, 30)}
	stood := event(5, party.KindStoodDown, at(10, 10))
	tests := []struct {
		name  string
		rung  watch.Rung
		state party.State
		want  bool
	}{
		{"all back", watchRung, fold(departed(), back()), false},
		{"one missing", watchRung,
			fold(departed(), event(2, party.KindBack, at(10, 5), person(1), person(2), person(3))), true},
		{"stood down with names missing", watchRung, fold(departed(), stood), true},
		{"stood down", watchRung, fold(departed(), back(), stood), false},
		{"all back but help was asked for", call, fold(departed(), back(), trouble(3, at(8, 0))), true},
		{"help asked for and stood down", call, fold(departed(), back(), trouble(3, at(8, 0)), stood), false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.rung.Fires(at(13, 0), tt.state, false); got != tt.want {
				t.Errorf("fires = %v, want %v", got, tt.want)
			}
		})
	}
	t.Run("a message from a clock ahead calls now", func(t *testing.T) {
		s := fold(departed(), trouble(3, at(9, 0)))
		ladder := watch.Ladder(watch.TimesFor(exact(), s), true)
		if ladder[0].Step != watch.StepCall || !ladder[0].Fires(at(8, 58), s, false) {
			t.Errorf("%s at %v does not fire at 08:58", ladder[0].Step, ladder[0].At)
		}
	})
}
