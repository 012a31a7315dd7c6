package watch

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/team"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// boardParties makes a row of each watch, the most urgent first. A party without a plan
// stands on top: no data is not green.
func boardParties(cases []watch.Case, now time.Time) []view.BoardRow {
	var rows []view.BoardRow
	var lines []watch.BoardLine
	of := make(map[ref.Hike]watch.Case, len(cases))
	for _, c := range cases {
		of[c.Hike.ID] = c
		if c.Plan == nil {
			rows = append(rows, noPromise(c))
			continue
		}
		lines = append(lines, watch.NewBoardLine(c.Names(), c.Promise, c.State, now))
	}
	watch.SortByUrgency(lines)
	for _, l := range lines {
		c := of[l.Hike]
		row := boardRow(l, c.Watched, now)
		answerRow(&row, c, l, now)
		rows = append(rows, row)
	}
	return rows
}

func boardPath(id ref.Hike) string { return fmt.Sprintf("/board/%d", id) }

// answerRow says who has an alarm, or offers to take it.
func answerRow(row *view.BoardRow, c watch.Case, l watch.BoardLine, now time.Time) {
	if !l.Phase.Alarm() {
		return
	}
	if by, has := c.Answered(now); has {
		if next, more := c.Next(now); more {
			l.Next = next
			nextWords(row, l, now, c.Hike.Start.Location())
		}
		row.Answered = by.By + " has it, since " + format.Clock(by.At, c.Hike.Start.Location())
		return
	}
	row.Act = ui.ButtonText{Label: "I have it", URL: boardPath(l.Hike) + "/acknowledge", Kind: ui.ButtonMain,
		About: l.Title}
}

// noPromise is a party without a plan: nothing was promised, so no clock can tell
// whether it is late. It stands on top, since no data is not green.
func noPromise(x watch.Case) view.BoardRow {
	n := x.Names()
	return view.BoardRow{
		ID: partyID(x.Hike.ID), URL: paths.Watch(x.Hike.ID), HandOverURL: paths.Hike(x.Hike.ID) + "/hand-over",
		Phase: ui.StampOf("").WithNote("no plan"), Trail: x.Trail, Hike: x.Hike.Title, Leader: n.Leader,
		Out: "see the roll", Count: "see the roll", Expected: "not known: no plan was made", Next: "No watch time",
		NextSays: "Ring the leader and agree a time of return.", Grave: true,
	}
}

func boardRow(l watch.BoardLine, x roll.Watched, now time.Time) view.BoardRow {
	zone := x.Hike.Start.Location()
	row := view.BoardRow{
		ID: partyID(l.Hike), URL: paths.Watch(l.Hike), HandOverURL: paths.Hike(l.Hike) + "/hand-over",
		Phase: phaseStamp(l), Trail: l.Trail, Hike: l.Title, Leader: format.OrElse(l.Leader, "nobody named"),
		Tel: leaderPhone(x.Hike),
		Out: outWords(l), Expected: format.ClockRange(l.Times.Expected, l.Times.Watch, zone), Grave: l.Phase.Alarm(),
	}
	if !l.Times.DepartureConfirmed {
		row.Expected += ", from the planned start"
	}
	if l.Outlook.From != nil {
		row.Expected += "; at their own pace " + format.ClockRange(l.Outlook.Likely, l.Outlook.Late, zone)
	}
	row.Count, row.CountBad = countWords(l, zone)
	nextWords(&row, l, now, zone)
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

// phaseStamp says what is not known in pencil, never in green.
func phaseStamp(l watch.BoardLine) ui.StampText {
	if l.Phase == watch.Unconfirmed {
		return ui.StampOf("").WithNote(string(watch.Unconfirmed))
	}
	return ui.StampOf(string(l.Phase))
}

func outWords(l watch.BoardLine) string {
	if !l.Times.DepartureConfirmed {
		return "not known: departure not reported"
	}
	return fmt.Sprintf("%d", l.OnTrail)
}

func countWords(l watch.BoardLine, zone *time.Location) (text string, bad bool) {
	if l.LastCount == nil {
		return "none", false
	}
	c := *l.LastCount
	given := c.Leader
	if given == 0 {
		given = c.Sweep
	}
	return fmt.Sprintf("%d of %d at %s, %s", given, c.Expected, c.Place, format.Clock(c.At, zone)), !c.Agrees
}

// nextWords is the next step of the ladder and how far off it is.
func nextWords(row *view.BoardRow, l watch.BoardLine, now time.Time, zone *time.Location) {
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

// firstSentence is enough for a line of the board; the page of the watch has the rest.
func firstSentence(text string) string {
	first, _, more := strings.Cut(text, ". ")
	if more {
		return first + "."
	}
	return first
}

// partyID names a row in the page, so that it can be redrawn by itself.
func partyID(id ref.Hike) string { return fmt.Sprintf("party-%d", id) }
