package signups

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
)

// parts shows what is kept in groups, each with when it goes.
func (d ownData) parts(rules rules.Rules, zone *time.Location) []view.OwnPart {
	goes := func(k retention.DataClass) string { return "Goes " + daysKept(rules, k) + " after the hike is closed." }
	you := []format.Line{{Label: "Name", Value: d.Name, Note: "goes " + daysKept(rules, retention.Names) + " after the close"}, {Label: "Mail", Value: d.Email}, {Label: "Mobile", Value: d.Mobile},
		{Label: "Whom we ring", Value: d.ContactName}, {Label: "Their number", Value: d.ContactPhone}, {Label: "Their mail", Value: d.ContactEmail}}
	if d.Minor {
		you = append(you, format.Line{Label: "Under age", Value: "yes"}, format.Line{Label: "Guardian", Value: d.Guardian}, format.Line{Label: "Guardian's number", Value: d.GuardianPhone}, format.Line{Label: "Adult on the hike", Value: d.Adult})
	}
	return []view.OwnPart{
		{ID: "you", Title: "You", Lines: filled(you), Goes: goes(retention.Contacts)},
		{ID: "walking", Title: "What you told of your walks", Lines: d.walking(zone), Goes: goes(retention.Contacts)},
		{ID: "car", Title: "Car and shared rides", Lines: d.ride(zone), None: "Nothing.", Goes: goes(retention.Plates)},
		{ID: "card", Title: "Medical card", Lines: d.card(zone), None: "You have none.", Goes: goes(retention.Cards)},
		{ID: "risks", Title: "What you accepted", Lines: d.risks(zone), None: "Nothing.", Goes: goes(retention.Waivers) + " For minors it counts from their majority."},
		{ID: "roll", Title: "On the roll", Lines: d.roll(zone), None: "No record names you.", Goes: "Times and places stay, without your name."},
		{ID: "mail", Title: "Messages", Lines: d.mail(zone), None: "None.", Goes: "Go " + daysKept(rules, retention.Contacts) + " after they were written."},
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

func (d ownData) walking(zone *time.Location) []format.Line {
	told := d.Told
	return filled([]format.Line{
		{Label: "Your place", Value: d.State, Note: d.Because}, {Label: "Asked", Value: format.Moment(d.Asked, zone)},
		{Label: "Longest walk", Value: d.LongestWalk}, {Label: "Active in the heat", Value: format.Count(d.HotDays, "day of 14", "days of 14")},
		{Label: "Came from", Value: told.From}, {Label: "Shoes", Value: told.Shoes},
		{Label: "Said yes to", Value: yesses(told)},
		{Label: "Reason for a talk", Value: strings.Join(d.Screening.Talk, " ")}, {Label: "What came of it", Value: string(d.Screening.Outcome), Note: d.Screening.Reason},
	})
}

func yesses(t signup.SelfReport) string {
	var said []string
	for _, q := range []struct {
		yes  bool
		what string
	}{{t.HotBefore, "walked in heat before"}, {t.HeatIll, "heat has made you ill"}, {t.Health, "something about your health to talk over"}, {t.Older, "of the age from which there is a talk"}, {t.Poles, "walks with poles"}} {
		if q.yes {
			said = append(said, q.what)
		}
	}
	return strings.Join(said, "; ")
}

func (d ownData) ride(zone *time.Location) []format.Line {
	lines := filled([]format.Line{{Label: "Plate", Value: d.Car.Plate}, {Label: "Car", Value: strings.TrimSpace(d.Car.Make + " " + d.Car.Colour)}, {Label: "Parked", Value: d.Car.Lot}, {Label: "Town", Value: d.Records.Town}})
	if !d.Records.Shares.IsZero() {
		lines = append(lines, format.Line{Label: "Shares a car", Value: "since " + format.Moment(d.Records.Shares, zone)})
	}
	return lines
}

func (d ownData) card(zone *time.Location) []format.Line {
	var lines []format.Line
	switch {
	case d.CardLost:
		lines = []format.Line{{Label: "Your card", Value: "cannot be read: its key is missing on our side"}}
	case d.Card != nil:
		lines = filled(append([]format.Line{{Label: "For the leader", Value: d.Card.Action}}, kit.CardLines(*d.Card)...))
	}
	for _, o := range d.Openings {
		lines = append(lines, openingLine(o, zone))
	}
	return lines
}

func openingLine(o card.Opening, zone *time.Location) format.Line {
	return format.Line{Label: "Opened", Value: fmt.Sprintf("%s by %s, %s", format.Moment(o.At, zone), o.By, o.Ground), Note: kit.ReasonWords(o)}
}

func (d ownData) risks(zone *time.Location) []format.Line {
	var lines []format.Line
	if !d.RiskAccepted.IsZero() {
		lines = append(lines, format.Line{Label: "The risks", Value: "accepted " + format.Moment(d.RiskAccepted, zone), Note: "text " + d.RiskVersion})
	}
	if !d.Consented.IsZero() {
		lines = append(lines, format.Line{Label: "Your guardian agreed", Value: format.Moment(d.Consented, zone)})
	}
	return lines
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
