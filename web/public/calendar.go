package public

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/web/kit"
	"saltbush/web/public/view"
	"saltbush/web/ui"
)

// ShowCalendar lists the hikes that are open or canceled and have not started.
func (s *Handlers) ShowCalendar(w http.ResponseWriter, r *http.Request) error {
	now := s.Now()
	list, err := s.Hikes.Hikes(r.Context(), now.Add(-12*time.Hour), now.Add(hike.CalendarAhead))
	if err != nil {
		return err
	}
	p := view.CalendarPage{
		Page:    s.Page(r, "Guided hikes", "Hikes"),
		Lede:    "Free walks led by volunteers. Read what a hike asks before you ask for a place.",
		FeedURL: "/hikes.ics",
		Empty: ui.EmptyText{Title: "No hikes are posted",
			Text: "Nothing is planned that we could show. The hot months are often left out on purpose."},
	}
	for _, l := range list {
		if shown(l.Hike, now) {
			addToCalendar(&p, calendarHike(l, p.Units, now), l.Hike.Start)
		}
	}
	return s.Render(w, r, http.StatusOK, view.Calendar(p))
}

// shown reports whether a hike is on the public calendar: not a draft, and not started.
func shown(h hike.Hike, now time.Time) bool {
	return (h.State == hike.Posted || h.State == hike.CalledOff) && h.Start.After(now)
}

// addToCalendar adds a hike to its month. Hikes come in order of their start.
func addToCalendar(p *view.CalendarPage, h view.CalendarHike, start time.Time) {
	id := start.Format("m2006-01")
	if n := len(p.Months); n == 0 || p.Months[n-1].ID != id {
		month := view.CalendarMonth{ID: id, Name: format.Month(start, start.Location())}
		p.Months = append(p.Months, month)
	}
	last := &p.Months[len(p.Months)-1]
	last.Hikes = append(last.Hikes, h)
}

func calendarHike(l hike.Listed, u format.System, now time.Time) view.CalendarHike {
	h, t, zone := l.Hike, l.Trail, l.Hike.Start.Location()
	line := kit.TrailLine(t, u)
	c := view.CalendarHike{
		URL: paths.Hike(h.ID), Day: strconv.Itoa(h.Start.Day()), Weekday: format.Weekday(h.Start, zone),
		Title: h.Title,
		Trail: t.Name + ", " + string(t.Profile.Shape), Meet: format.Clock(h.Meet, zone),
		Distance: line.Length, Ascent: line.Ascent, Class: line.Class, Number: line.Number,
	}
	c.Stamp, c.Places = placesLeft(l, now)
	if h.State == hike.CalledOff {
		c.Note = "Called off: " + h.WhyCalledOff()
	} else if l.Plan == nil {
		c.Note = "No plan yet: time and water are worked out from the forecast."
	}
	if l.Plan != nil && l.Plan.Verdict.Decision != plan.Go && h.State == hike.Posted {
		c.Note = "The plan says " + string(l.Plan.Verdict.Decision) + " for this day's forecast. " +
			kit.DecisionWords(h)
	}
	if l.Plan != nil {
		c.Time = format.DurationRange(l.Plan.Time.P50.Duration(), l.Plan.Time.P90.Duration())
		c.Water = format.Volume(l.Plan.Water.Carry, u)
	}
	return c
}

// placesLeft shows whether there is a free spot, as a stamp and in words.
func placesLeft(l hike.Listed, now time.Time) (ui.StampText, string) {
	free := l.Hike.Places - l.Confirmed
	switch {
	case l.Hike.State != hike.Posted || !l.Hike.TakesSignUps(now):
		return ui.StampOf(string(l.Hike.State)), ""
	case free > 0 && l.Waiting == 0:
		return ui.StampOf("places left"), fmt.Sprintf("%d of %d left", free, l.Hike.Places)
	}
	return ui.StampOf("waiting list"), fmt.Sprintf("full, %d waiting", l.Waiting)
}
