package watch_test

import (
	"testing"
	"time"

	"saltbush/internal/watch"
)

func TestMarginsMoveTheLadder(t *testing.T) {
	urgent := func(p watch.Promise) watch.Promise {
		p.Minors = true
		return p
	}
	with := func(widen, call, soon int) watch.Promise {
		p := plain()
		minutes := func(n int) time.Duration { return time.Duration(n) * time.Minute }
		p.Margins = watch.Margins{Watch: 0.9, Widen: minutes(widen), Call: minutes(call), Urgent: minutes(soon)}
		return p
	}
	tests := []struct {
		name               string
		p                  watch.Promise
		watch, widen, call time.Time
	}{
		{"none are the defaults", plain(), at(11, 21), at(11, 51), at(12, 21)},
		{"longer waits", with(45, 90, 30), at(11, 21), at(12, 6), at(12, 51)},
		{"urgent", urgent(with(45, 90, 20)), at(11, 21), at(11, 41), at(11, 41)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := watch.TimesOf(tt.p, at(6, 30), 0)
			near(t, "watch", got.Watch, tt.watch)
			near(t, "widen", got.Widen, tt.widen)
			near(t, "call", got.Call, tt.call)
		})
	}
}

// The watch share is a quantile of the promise's spread: by hand, 3 h 45 times e to the
// 0.20 x 1.6449 (upper 5 % point, Abramowitz and Stegun 1964, table 26.5) is 5 h 12.6.
func TestWatchShareIsAQuantile(t *testing.T) {
	p := plain()
	p.Margins = watch.DefaultMargins()
	p.Margins.Watch = 0.95
	near(t, "watch at P95", watch.TimesOf(p, at(6, 30), 0).Watch, at(11, 43))
	p.P90 = p.P50
	near(t, "watch without a spread", watch.TimesOf(p, at(6, 30), 0).Watch, at(10, 15))
}
