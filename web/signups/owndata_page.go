package signups

import (
	"fmt"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
)

// parts returns what is kept in groups, each with when it is deleted.
func (d ownData) parts(rules rules.Rules, zone *time.Location) []view.OwnPart {
	goes := func(k retention.DataClass) string {
		return "Goes " + retentionPeriod(rules, k) + " after the hike is closed."
	}
	you := retention.Lines(d.Person, retention.SectionYou, zone)
	if len(you) > 0 { // the name comes first, and goes by itself
		you[0].Note = "goes " + retentionPeriod(rules, retention.Names) + " after the close"
	}
	walking := retention.Lines(d.Person, retention.SectionWalking, zone)
	risks := retention.Lines(d.Person, retention.SectionRisks, zone)
	return []view.OwnPart{
		{ID: string(retention.SectionYou), Title: "You", Lines: you, Goes: goes(retention.Contacts)},
		{ID: string(retention.SectionWalking), Title: "What you told of your walks",
			Lines: walking, Goes: goes(retention.Contacts)},
		{ID: string(retention.SectionCar), Title: "Car and shared rides", Lines: d.ride(zone), None: "Nothing.",
			Goes: goes(retention.Plates)},
		{ID: "card", Title: "Medical card", Lines: d.card(zone), None: "You have none.", Goes: goes(retention.Cards)},
		{ID: string(retention.SectionRisks), Title: "What you accepted", Lines: risks, None: "Nothing.",
			Goes: goes(retention.Waivers) + " For minors it counts from their majority."},
		{ID: "roll", Title: "On the roll", Lines: d.roll(zone), None: "No record names you.",
			Goes: "Times and places stay, without your name."},
		{ID: "mail", Title: "Messages", Lines: d.mail(zone), None: "None.",
			Goes: "Go " + retentionPeriod(rules, retention.Contacts) + " after they were written."},
	}
}

func filled(lines []format.Line) []format.Line {
	var out []format.Line
	for _, l := range lines {
		if l.Value != "" {
			out = append(out, l)
		}
	}
	return out
}

func (d ownData) ride(zone *time.Location) []format.Line {
	lines := retention.Lines(d.Person, retention.SectionCar, zone)
	lines = append(lines, filled([]format.Line{{Label: "Town", Value: d.Records.Town}})...)
	if !d.Records.Shares.IsZero() {
		lines = append(lines,
			format.Line{Label: "Shares a car", Value: "since " + format.Moment(d.Records.Shares, zone)})
	}
	return lines
}

func (d ownData) card(zone *time.Location) []format.Line {
	var lines []format.Line
	switch {
	case d.CardLost:
		lines = []format.Line{{Label: "Your card", Value: "cannot be read: its key is missing on our side"}}
	case d.Card != nil:
		lines = filled(append([]format.Line{{Label: "For the leader", Value: d.Card.Action}},
			kit.CardLines(*d.Card)...))
	}
	for _, o := range d.Openings {
		lines = append(lines, openingLine(o, zone))
	}
	return lines
}

func openingLine(o card.Opening, zone *time.Location) format.Line {
	return format.Line{Label: "Opened", Value: fmt.Sprintf("%s by %s, %s", format.Moment(o.At, zone), o.By, o.Ground),
		Note: kit.ReasonWords(o)}
}

func (d ownData) roll(zone *time.Location) []format.Line {
	var lines []format.Line
	for _, e := range d.Records.Roll {
		lines = append(lines, format.Line{Label: format.Moment(e.At, zone), Value: e.Kind, Note: e.Place})
	}
	return lines
}

func (d ownData) mail(zone *time.Location) []format.Line {
	var lines []format.Line
	for _, m := range d.Records.Mail {
		lines = append(lines, format.Line{Label: format.Moment(m.At, zone), Value: m.Subject, Note: "to " + m.To})
	}
	return lines
}
