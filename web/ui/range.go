package ui

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/format"
)

// RangeText is a likely and a late value on a scale, with an optional limit. Positions on the scale
// are percentages of its width.
type RangeText struct {
	Label    string
	From, To string // "3 h 45", "4 h 51"
	// FromFact and ToFact name the facts of the case that From and To are, if they are.
	FromFact, ToFact string
	FromNote         string // what From means: "half of groups like this are back by then"
	ToNote           string
	FromAt           string // "41.2%"
	ToAt             string
	Wide             string // ToAt less FromAt
	Ticks            []RangeTick
	Limit            string // words of the limit, "" for none: "off by 10:30"
	LimitAt          string
	LimitEnd         string // text-anchor of the words: "start" or "end"
}

// RangeTick is one mark of the scale.
type RangeTick struct{ At, Label, Anchor string }

// NewDurationRange draws a walking time on a scale of hours from zero.
func NewDurationRange(label string, p50, p90 time.Duration) RangeText {
	end := math.Ceil(math.Max(p90.Hours(), 1) + 0.25)
	r := RangeText{Label: label, From: format.Duration(p50), To: format.Duration(p90)}
	r.place(p50.Hours()/end, p90.Hours()/end)
	every := math.Ceil(end / 6)
	for h := 0.0; h <= end; h += every {
		r.Ticks = append(r.Ticks, Tick(h/end, fmt.Sprintf("%.0f h", h)))
	}
	return r
}

// NewClockRange draws a time of return on a scale of the trailhead's wall clock that
// begins at the start of the walk. A zero limit draws none.
func NewClockRange(label string, start, p50, p90, limit time.Time, limitWords string, zone *time.Location) RangeText {
	last := p90
	if limit.After(last) {
		last = limit
	}
	first := start.Truncate(time.Hour)
	hours := math.Max(math.Ceil(last.Sub(first).Hours()+0.25), 1)
	share := func(t time.Time) float64 { return t.Sub(first).Hours() / hours }
	r := RangeText{Label: label, From: format.Clock(p50, zone), To: format.Clock(p90, zone)}
	r.place(share(p50), share(p90))
	every := math.Ceil(hours / 4)
	for h := 0.0; h <= hours; h += every {
		at := first.Add(time.Duration(h * float64(time.Hour)))
		r.Ticks = append(r.Ticks, Tick(h/hours, format.Clock(at, zone)))
	}
	if !limit.IsZero() {
		r.Limit, r.LimitAt, r.LimitEnd = limitWords, PercentOf(share(limit)), anchorBy(share(limit))
	}
	return r
}

func (r *RangeText) place(from, to float64) {
	r.FromAt, r.ToAt, r.Wide = PercentOf(from), PercentOf(to), PercentOf(to-from)
}

// Tick returns a mark at a share of the width. Its label stays within the scale.
func Tick(share float64, label string) RangeTick {
	anchor := "middle"
	switch {
	case share < 0.02:
		anchor = "start"
	case share > 0.98:
		anchor = "end"
	}
	return RangeTick{At: PercentOf(share), Label: label, Anchor: anchor}
}

// anchorBy puts text on the side that has room.
func anchorBy(share float64) string {
	if share > 0.5 {
		return "end"
	}
	return "start"
}

// PercentOf writes a share of the width, limited to 0 to 100 %.
func PercentOf(share float64) string {
	if math.IsNaN(share) {
		share = 0
	}
	return fmt.Sprintf("%.2f%%", 100*math.Min(math.Max(share, 0), 1))
}

// NoPlanYet takes the place of figures while there is no plan: they are unknown, which is not
// "none".
func NoPlanYet() EmptyText {
	return EmptyText{Title: "Not worked out yet",
		Text: "The figures are made from the forecast for the day and appear here once there is one. Nobody can say " +
			"yet how much water, or how long."}
}
