package unit

import "time"

// UpToMinute rounds up: clocks that people read show minutes, and rounding must not shorten a promised time.
func UpToMinute(t time.Time) time.Time {
	if r := t.Truncate(time.Minute); !r.Equal(t) {
		return r.Add(time.Minute)
	}
	return t
}
