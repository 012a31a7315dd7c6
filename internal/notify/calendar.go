package notify

import (
	"context"
	"net/url"
	"time"

	"saltbush/internal/calendar"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/trail"
)

// Site is the name behind the @ of every entry: entries of two sites never meet.
func (s *Notifier) Site() string {
	u, err := url.Parse(s.BaseURL)
	if err != nil || u.Hostname() == "" {
		return "saltbush.invalid"
	}
	return u.Hostname()
}

// EntryOf is a hike as a calendar shows it: from the time of meeting to the time under
// which nine groups in ten stay. Without a plan nobody knows its end.
func EntryOf(h hike.Hike, t trail.Trail, p *plan.Plan) calendar.Event {
	e := calendar.Event{Start: h.Meet, Summary: h.Title, Location: t.Name, Status: calendar.Tentative}
	if len(t.Profile.Samples) > 0 {
		e.At = t.Profile.SampleAt(0).At
	}
	if t.Meeting != "" {
		e.Location += ": " + t.Meeting
	}
	leave := "We leave at " + format.Clock(h.Start, h.Start.Location()) + "."
	if p != nil {
		e.End = h.Start.Add(p.Time.P90.Duration())
		e.Description = leave + " The end shown is the late end of an estimate: nine groups in ten are back by then."
	} else {
		e.Description = leave + " When we are back is worked out with the plan, a day or two before."
	}
	switch {
	case h.State == hike.CalledOff:
		e.Status, e.Description = calendar.Cancelled, "Called off: "+h.CalledOffBecause
	case h.Decision.Made() || h.State != hike.Draft && h.State != hike.Posted:
		e.Status = calendar.Confirmed
	}
	return e
}

// Numbered gives events their numbers; without a store they stay at zero.
func (s *Notifier) Numbered(ctx context.Context, events ...calendar.Event) ([]calendar.Event, error) {
	now := s.Now().Truncate(time.Second)
	if s.Calendar == nil {
		for i := range events {
			events[i].Stamp = now
		}
		return events, nil
	}
	return s.Calendar.Number(ctx, now, events...)
}
