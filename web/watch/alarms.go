package watch

import (
	"time"

	"saltbush/internal/format"
	"saltbush/internal/privacy"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/watch/view"
)

// alarmWords describes an alarm in a line: who, since when, and by when help is called.
func alarmWords(a watch.Alarm, zone *time.Location) string {
	if a.Search != nil {
		return format.SentenceWord(a.About) + " since " + format.Clock(a.Began, zone) + ". Call for help at " +
			format.Clock(a.Call, zone) + "."
	}
	return format.SentenceWord(a.About) + ". At the car by " + format.Clock(a.Watch, zone) + ", call for help at " +
		format.Clock(a.Call, zone) + "."
}

// addWarnings lists what the records leave open: counts that do not agree, records that contradict
// each other.
func (x watchData) addWarnings(p *view.WatchPage) {
	if w := x.Hike.OnCallWarning(x.State.Departure); w != "" {
		p.Warnings = append(p.Warnings, w)
	}
	if !x.visibility.CanSee(privacy.KindName) {
		return
	}
	for _, f := range x.State.Warnings() {
		words := format.SentenceWord(f.Words)
		if g, low := x.State.GapOf(f); low {
			words += ". " + kit.LookWords(x.State.GapWords(g), g.Since.Place, g.Since.At, x.Zone())
		}
		p.Warnings = append(p.Warnings, words)
	}
}

// alarmLines show the clocks of people who left early and of a search.
func (x watchData) alarmLines(zone *time.Location) []format.Line {
	var lines []format.Line
	for _, a := range x.Alarms() {
		if !a.Running() || !x.visibility.CanSee(privacy.KindName) {
			continue
		}
		line := format.Line{
			Label: "Left early", Value: "at the car by " + format.Clock(a.Watch, zone),
			Note: format.SentenceWord(a.About) + ": call for help at " + format.Clock(a.Call, zone) +
				". The others' times do not change.",
		}
		if a.Search != nil {
			line.Label, line.Value = "Missing", "since "+format.Clock(a.Began, zone)
			line.Note = format.SentenceWord(a.About) + ": call for help at " + format.Clock(a.Call, zone)
		}
		lines = append(lines, line)
	}
	return lines
}
