package watch

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/team"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// boardRows makes a row for each watch, the most urgent first. Parties without a plan are at
// the top: no data is not green.
func boardRows(cases []watch.Case, now time.Time) []view.BoardRow {
	var rows []view.BoardRow
	var lines []watch.BoardLine
	of := make(map[ref.Hike]watch.Case, len(cases))
	for _, c := range cases {
		of[c.Hike.ID] = c
		if c.Plan == nil {
			rows = append(rows, rowWithoutPlan(c, now))
			continue
		}
		lines = append(lines, watch.NewBoardLine(c, now))
	}
	watch.SortByUrgency(lines)
	for _, l := range lines {
		c := of[l.Hike]
		row := boardRow(l, c.Watched, now)
		addAnswer(&row, c, l, now)
		rows = append(rows, row)
	}
	return rows
}

func boardPath(id ref.Hike) string { return fmt.Sprintf("/board/%d", id) }

// addAnswer says who has taken an alarm, or offers to take it.
func addAnswer(row *view.BoardRow, c watch.Case, l watch.BoardLine, now time.Time) {
	if !l.Phase.Alarm() {
		return
	}
	if by, has := c.Answered(now); has {
		if next, more := c.Next(now); more {
			l.Next = next
			addNext(row, l, now, c.Hike.Start.Location())
		}
		row.Answered = by.By + " has it, since " + format.Clock(by.At, c.Hike.Start.Location())
		return
	}
	row.Act = ui.ButtonText{Label: "I have it", URL: boardPath(l.Hike) + "/acknowledge", Kind: ui.ButtonMain,
		About: l.Title}
}

// rowWithoutPlan is the row of a party without a plan: nothing was promised, so no clock can
// tell whether it is late.
func rowWithoutPlan(x watch.Case, now time.Time) view.BoardRow {
	n := x.Names()
	row := view.BoardRow{
		ID: partyID(x.Hike.ID), URL: paths.Watch(x.Hike.ID), HandOverURL: paths.Hike(x.Hike.ID) + "/hand-over",
		Phase: phaseStamp(""), Trail: x.Trail, Hike: x.Hike.Title, Leader: n.Leader,
		Out: "see the roll", Count: "see the roll", Expected: "not known: no plan was made", Next: "No watch time",
		NextSays: "Call the leader and agree on a return time.", Grave: true,
	}
	if phase := x.Phase(now); phase.Alarm() {
		row.Phase = phaseStamp(phase)
	}
	for _, a := range x.Alarms() {
		if a.Running() {
			row.Alarms = append(row.Alarms, alarmWords(a, x.Hike.Start.Location()))
		}
	}
	return row
}

func boardRow(l watch.BoardLine, x roll.Watched, now time.Time) view.BoardRow {
	zone := x.Hike.Start.Location()
	row := view.BoardRow{
		ID: partyID(l.Hike), URL: paths.Watch(l.Hike), HandOverURL: paths.Hike(l.Hike) + "/hand-over",
		Phase: phaseStamp(l.Phase), Trail: l.Trail, Hike: l.Title, Leader: format.OrElse(l.Leader, "nobody named"),
		Tel: leaderPhone(x.Hike),
		Out: outWords(l), Grave: l.Phase.Alarm(),
		ExpectedAt: format.Clock(l.Times.Expected, zone), WatchAt: format.Clock(l.Times.Watch, zone),
	}
	if !l.Times.DepartureConfirmed {
		row.Expected = "from the planned start"
	}
	if l.Outlook.From != nil {
		row.Expected += " at their own pace " + format.ClockRange(l.Outlook.Likely, l.Outlook.Late, zone)
	}
	for _, a := range l.Alarms {
		row.Alarms = append(row.Alarms, alarmWords(a, zone))
	}
	row.Count, row.CountBad = countWords(l.LastCount, zone)
	row.Gravity = gravity(l.Phase)
	addNext(&row, l, now, zone)
	for _, f := range l.Flags {
		row.Flags = append(row.Flags, f.Words)
	}
	for _, p := range l.Passed {
		row.Flags = append(row.Flags, "Out beyond "+p.Name+", "+format.Clock(p.At, zone)+".")
	}
	if l.Concern != "" {
		row.Flags = append(row.Flags, l.Concern)
	}
	if l.Phase == watch.Back {
		row.Act = ui.ButtonText{Label: "Stand down", URL: boardPath(l.Hike) + "/stand-down", Kind: ui.ButtonMain,
			About: l.Title}
	}
	return row
}

func leaderPhone(h hike.Hike) string {
	m, _ := h.StaffOf(team.Leader)
	return m.Phone
}

// phaseStamp shows a phase. What is not known is in pencil, never in green.
func phaseStamp(phase watch.Phase) ui.StampText {
	if phase == "" || phase == watch.Unconfirmed {
		return ui.StampOf("").WithNote(cmp.Or(string(phase), "no plan"))
	}
	return ui.StampOf(string(phase))
}

func outWords(l watch.BoardLine) string {
	if !l.Times.DepartureConfirmed {
		return "not known: departure not reported"
	}
	return fmt.Sprintf("%d", l.OnTrail)
}

// countWords describes a count, nil for none, and reports whether it is wrong.
func countWords(c *party.Count, zone *time.Location) (text string, bad bool) {
	if c == nil {
		return "none", false
	}
	given := cmp.Or(c.Leader, c.Sweep)
	return fmt.Sprintf("%d of %d at %s, %s", given, c.Expected, c.Place, format.Clock(c.At, zone)), !c.Agrees
}

// addNext adds the next step of the ladder and the time until then.
func addNext(row *view.BoardRow, l watch.BoardLine, now time.Time, zone *time.Location) {
	if l.Next.At.IsZero() {
		row.Next, row.NextSays = "No clock runs", l.Phase.Meaning()
		return
	}
	row.Next = l.Next.Name + " " + format.Clock(l.Next.At, zone)
	row.NextIn = kit.Away(l.Next.At, now)
	row.NextSays = l.Next.Do
	if l.Phase.Alarm() {
		row.NextSays = l.Phase.Meaning() + " Next: " + firstSentence(l.Next.Do)
	}
}

// firstSentence is enough for the board; the watch page has the rest.
func firstSentence(text string) string {
	first, _, more := strings.Cut(text, ". ")
	if more {
		return first + "."
	}
	return first
}

// partyID is the element ID of a row, so that it can be redrawn alone.
func partyID(id ref.Hike) string { return fmt.Sprintf("party-%d", id) }
