package sitetest

import (
	"fmt"
	"slices"
	"time"
)

// Spread says a list of durations in five figures.
func Spread(list []time.Duration) string {
	if len(list) == 0 {
		return "none"
	}
	list = slices.Sorted(slices.Values(list))
	at := func(share float64) time.Duration {
		return list[int(share*float64(len(list)-1))].Round(10 * time.Millisecond)
	}
	return fmt.Sprintf("%d: half within %v, nine in ten %v, 99 in 100 %v, all %v",
		len(list), at(.5), at(.9), at(.99), at(1))
}
