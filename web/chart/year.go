package chart

import (
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/plan"
)

// YearWindow writes when a walk may start on a day: "05:35 to 08:10", "with care, 05:35 to
// 06:00" or "none".
func YearWindow(d plan.YearDay) string {
	clocks := func(from, to plan.Instant) string { return format.ClockRange(from.Time, to.Time, from.Location()) }
	switch {
	case !d.Earliest.IsZero():
		return clocks(d.Earliest, d.Latest)
	case d.Care != nil:
		return "with care, " + clocks(d.Care.Earliest, d.Care.Latest)
	}
	return "none"
}

// YearSign is one sign of a year's table: what limits a start, small where it asks for
// care and large where the trail is not led then.
type YearSign struct{ Sign, Words string }

// yearLetters are the letters of the planning service's limits.
func yearLetters() map[string]string {
	return map[string]string{
		"house ladder": "h", "work in heat": "w", "off-by time": "o", "first light": "l", "daylight": "l",
		"turnaround": "t", "drinking": "d", "time zone": "z",
	}
}

// SignOfYear is the sign of one start: a point where the trail may be led. A stroke after it
// says that the hot day alone decides so.
func SignOfYear(s plan.YearStart) string {
	letter, known := yearLetters()[s.Limit]
	switch {
	case s.Answer == plan.MayBeLed:
		return "."
	case !known:
		letter = "x"
	}
	if s.Answer == plan.Not {
		letter = strings.ToUpper(letter)
	}
	if s.DecidedBy == plan.HotDay {
		letter += "'"
	}
	return letter
}

// YearSigns lists every sign with its words.
func YearSigns() []YearSign {
	return []YearSign{
		{".", "may be led"},
		{"h H", "house ladder: shade, spare water and a shorter way; not from its second step on"},
		{"w W", "work in heat: over the limit for people not used to it; for everybody"},
		{"o O", "somebody would still be out when the trail gets too hot"},
		{"l L", "light: before first light; not back in daylight"},
		{"t T", "the far point is reached after the turnaround"},
		{"d D", "more drinking than anybody can keep up"},
		{"'", "after a letter: only on the month's hot day; the usual day is calmer"},
		{"small", "with care"},
		{"LARGE", "not"},
	}
}

// YearHours are the hours of day of a year's starts.
func YearHours(y plan.YearPlan) []int {
	for _, m := range y.Months {
		if len(m.Starts) > 0 {
			hours := make([]int, len(m.Starts))
			for i, s := range m.Starts {
				hours[i] = s.At.Hour()
			}
			return hours
		}
	}
	return nil
}

// monthShort is a month's name on a scale.
func monthShort(m time.Month) string { return m.String()[:3] }
