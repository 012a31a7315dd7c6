package hikes

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/team"
	"saltbush/internal/watch"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowDesk shows a leader what to do, and the hikes around today.
func (s *Handlers) ShowDesk(w http.ResponseWriter, r *http.Request) error {
	now := s.Now()
	list, err := s.Hikes.Hikes(r.Context(), now.Add(-hike.DeskBack), now.Add(hike.DeskAhead))
	if err != nil {
		return err
	}
	p := view.DeskPage{Page: s.Page(r, "Desk", "Desk")}
	viewer, ahead := kit.ViewerOf(r), []ref.Hike{}
	for _, l := range list {
		if now.Before(l.Hike.Start) {
			ahead = append(ahead, l.Hike.ID)
		}
	}
	unread, err := s.Announcements.CountUnread(r.Context(), ahead)
	if err != nil {
		return err
	}
	for _, l := range list {
		if account.May(viewer, account.ManageHike, s.SubjectOf(l.Hike)) == nil {
			c, err := s.caseOf(r.Context(), l, now)
			if err != nil {
				return err
			}
			fileOnDesk(&p, l, c, unread[l.Hike.ID], now)
		}
	}
	if p.Staff, err = s.staffOnDesk(r, now); err != nil {
		return err
	}
	if p.Second, err = s.secondStepNote(r); err != nil {
		return err
	}
	if !s.Cards.HoldsCardKey() {
		p.Staff = append([]ui.NoteText{ui.KeyMissing()}, p.Staff...)
	}
	if p.Wake, err = s.WakeText(r); err != nil {
		return err
	}
	return s.Render(w, r, http.StatusOK, view.Desk(p))
}

// secondStepNote asks a coordinator to set up a second step of signing in.
func (s *Handlers) secondStepNote(r *http.Request) (ui.NoteText, error) {
	text, err := s.SecondWanted(r)
	return ui.NoteText{Kind: ui.NoteCaution, Title: "Set up a second step of signing in", Text: text}, err
}

// caseOf loads what is known of a hike that is out, or that may be out unreported; of any other it
// is empty.
func (s *Handlers) caseOf(ctx context.Context, l hike.Listed, now time.Time) (watch.Case, error) {
	unreported := l.Hike.State == hike.Posted && !now.Before(l.Hike.Meet)
	if l.Hike.State != hike.Out && !unreported {
		return watch.Case{}, nil
	}
	rec, err := s.Rolls.Record(ctx, l.Hike.ID)
	return watch.CaseOf(roll.Watched{Record: rec, Plan: l.Plan}, nil), err
}

// fileOnDesk adds a hike to its list: to do, out, coming or past.
func fileOnDesk(p *view.DeskPage, l hike.Listed, c watch.Case, unread int, now time.Time) {
	line := deskLine(l, c, now)
	alarm := c.Phase(now).Alarm()
	if near := !now.Before(l.Hike.DayBegins()); unread > 0 && !alarm && (near || line.Task.Text == "") {
		line.Task = ringTask(l.Hike.Decision.What(), unread, near)
	}
	switch {
	case l.Hike.State == hike.Out || l.Hike.State == hike.Back:
		line.Action, line.ActionURL = "Take the roll", paths.Hike(l.Hike.ID)+"/roll"
		p.Out = append(p.Out, line)
	case alarm:
		p.ToDo = append(p.ToDo, line)
	case l.Hike.State == hike.Closed || l.Hike.State == hike.CalledOff && line.Task.Text == "" || l.Hike.Past(now):
		p.Past = append([]view.DeskLine{line}, p.Past...)
	case line.Task.Text != "":
		p.ToDo = append(p.ToDo, line)
	default:
		p.Coming = append(p.Coming, line)
	}
}

// ringTask asks to telephone those who have not read a decision. Near the day somebody also waits
// at the trailhead for them.
func ringTask(o hike.Outcome, unread int, near bool) view.DeskTask {
	w := view.DeskTask{Text: "Ring who has not read it",
		When: format.Count(unread, "person has", "people have") + " not said that they know: " + string(o)}
	if near && o != hike.Goes {
		w.When += "; somebody stands at the trailhead unless all are reached"
	}
	return w
}

func deskLine(l hike.Listed, c watch.Case, now time.Time) view.DeskLine {
	h, zone := l.Hike, l.Hike.Start.Location()
	line := view.DeskLine{
		Day: format.ShortDay(h.Meet, zone), Clock: format.Clock(h.Meet, zone), Title: h.Title, URL: paths.Manage(h.ID),
		Trail: l.Trail.Name,
		Staff: staffWords(h), Places: placesWords(h, l.Confirmed, l.Waiting), State: ui.StampOf(string(h.State)),
		Task: nextTask(l, c, now), Warning: h.OnCallWarning(c.State.Departure),
	}
	verdict := ""
	if l.Plan != nil {
		verdict = string(l.Plan.Verdict.Decision)
	}
	if h.State == hike.Draft || h.State == hike.Posted {
		line.Verdict = view.VerdictStamp(verdict)
	}
	return line
}

func staffWords(h hike.Hike) string {
	does := map[team.Role]string{team.Leader: "leads", team.Sweep: "sweeps", team.Assistant: "assists"}
	words := make([]string, len(h.Staff))
	for i, m := range h.Staff {
		words[i] = m.Name + " " + does[m.Role]
	}
	return strings.Join(words, ", ")
}

func placesWords(h hike.Hike, confirmed, waiting int) string {
	text := fmt.Sprintf("%d of %d places taken", confirmed, h.Places)
	if waiting > 0 {
		text += fmt.Sprintf(", %d waiting", waiting)
	}
	return text
}

// nextTask is the next thing to do for a hike.
func nextTask(l hike.Listed, c watch.Case, now time.Time) view.DeskTask {
	h := l.Hike
	switch {
	case c.Phase(now).Alarm():
		return view.DeskTask{Text: "Look at the board: " + string(c.Phase(now)),
			When: "the watch time is " + format.Clock(c.Clocks().Watch, h.Start.Location()) + ", " +
				kit.Away(c.Clocks().Watch, now), Late: true}
	case h.WantsDecision(now):
		return view.DeskTask{Text: "Decide whether it goes", When: deadlineText(h.DecideBy(), now, h.Start.Location()),
			Late: now.After(h.DecideBy())}
	case h.State == hike.Draft && now.Before(h.Start):
		return view.DeskTask{Text: "Post it, or let it go", When: "a draft is seen by staff only"}
	case h.WantsForecast(now):
		return view.DeskTask{Text: "Type the forecast", When: "no forecast, no plan"}
	}
	return view.DeskTask{}
}

// deadlineText says when a deadline is and how far: "by Sat 9 May, 12:30: in 3 h 10".
func deadlineText(at, now time.Time, zone *time.Location) string {
	return "by " + format.Moment(at, zone) + ": " + kit.Away(at, now)
}
