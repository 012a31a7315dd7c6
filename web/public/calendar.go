package public

import (
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/web/kit"
	"saltbush/web/public/view"
	"saltbush/web/ui"
)

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
			addToCalendar(&p, calendarHike(l, p.Units, now))
		}
	}
	return s.Render(w, r, http.StatusOK, view.Calendar(p))
}

// shown keeps drafts and what has left out of the public calendar.
func shown(h hike.Hike, now time.Time) bool {
	return (h.State == hike.Posted || h.State == hike.CalledOff) && h.Start.After(now)
}

type dated struct {
	view.CalendarHike
	month string
	id    string
}

func addToCalendar(p *view.CalendarPage, h dated) {
	if n := len(p.Months); n == 0 || p.Months[n-1].ID != h.id {
		p.Months = append(p.Months, view.CalendarMonth{ID: h.id, Name: h.month})
	}
	last := &p.Months[len(p.Months)-1]
	last.Hikes = append(last.Hikes, h.CalendarHike)
}

func calendarHike(l hike.Listed, u format.System, now time.Time) dated {
	h, t, zone := l.Hike, l.Trail, l.Hike.Start.Location()
	line := kit.TrailLine(t, u)
	c := view.CalendarHike{
		URL: paths.Hike(h.ID), Day: h.Start.Format("2"), Weekday: h.Start.Format("Mon"), Title: h.Title,
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
	return dated{c, h.Start.Format("January 2006"), h.Start.Format("m2006-01")}
}

// placesLeft says in a stamp and in words whether there is a place.
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
