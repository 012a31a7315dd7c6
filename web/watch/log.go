package watch

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/watch"
	"saltbush/web/ui"
)

// logLedger shows the log, the latest line first.
func (x watchData) logLedger(zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "At"}, {Label: "What"}, {Label: "Who"}}}
	for _, e := range slices.Backward(x.Log) {
		what, who, note := x.logWords(e)
		l.Rows = append(l.Rows, []ui.Cell{{Text: format.Clock(e.At, zone)}, {Text: what, Note: note}, {Text: who}})
	}
	return l
}

func (x watchData) logWords(e watch.Logged) (what, who, note string) {
	if e.Kind != watch.LogStep {
		return personWords(e)
	}
	name := watch.StepName(e.Step)
	note = x.reached(e)
	if e.LateBy >= time.Minute {
		note += "; " + format.Duration(e.LateBy) + " late"
	}
	return format.SentenceWord(name), "to " + e.Recipient, note
}

// personWords describes what a person did on the watch.
func personWords(e watch.Logged) (what, who, note string) {
	who = cmp.Or(e.By, "somebody")
	switch e.Kind {
	case watch.LogAcknowledged:
		return "Took the alarm", who, ""
	case watch.LogCalled:
		return "Called the emergency number", who, e.Note
	case watch.LogPassed:
		return "Passed the alarm on to the " + e.Recipient, who, e.Note
	case watch.LogOpened:
		return "Opened the watch", who, ""
	}
	return e.Note, who, ""
}

// deliveryWords says how a step was sent and what is known of its arrival.
func deliveryWords(e watch.Logged) string {
	if e.Channel == "none" {
		return e.Outcome
	}
	words := strings.NewReplacer("alarm sent", "mail sent", "alarm queued", "mail waiting to go", "alarm failed",
		"mail not sent",
		"webhook sent", "text handed over", "webhook queued", "text waiting to go", "webhook failed", "text not sent",
		"push sent", "phone woken", "push queued", "phone still to be woken", "push failed",
		"phone not woken").Replace(e.Delivery)
	return cmp.Or(words, "by "+e.Channel+", "+e.Outcome)
}
