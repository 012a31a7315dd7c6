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
	"saltbush/internal/watch"
)

// Site is the part after the @ in the UID of every calendar entry. It keeps the entries of
// two sites apart.
func (n *Notifier) Site() string {
	u, err := url.Parse(n.baseURL)
	if err != nil || u.Hostname() == "" {
		return "saltbush.invalid"
	}
	return u.Hostname()
}

// HikeEvent is a hike as a calendar entry, from the meeting time to the late end (P90) of
// the plan's estimate. Without a plan the entry has no end.
func HikeEvent(h hike.Hike, t trail.Trail, p *plan.Plan) calendar.Event {
	e := calendar.Event{Start: h.Meet, Summary: h.Title, Location: t.Name, Status: calendar.Tentative}
	if len(t.Profile.Samples) > 0 {
		e.At = t.Profile.SampleAt(0).At
	}
	if t.Meeting != "" {
		e.Location += ": " + t.Meeting
	}
	leave := "We leave at " + format.Clock(h.Start, h.Start.Location()) + "."
	if p != nil {
		e.End = watch.Before(hike.Data{Hike: h, Trail: t, Plan: p}).Clocks().Watch
		e.End = e.End.In(h.Start.Location()) // a limit of light has the zone that the plan was stored in
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

// Number sets the sequence number of each event, which grows whenever the event changes.
func (n *Notifier) Number(ctx context.Context, events ...calendar.Event) ([]calendar.Event, error) {
	return n.calendar.Number(ctx, n.now().Truncate(time.Second), events...)
}
