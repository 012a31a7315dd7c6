package watch

import (
	"slices"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// addMissing lists who is not accounted for, how to reach them and their emergency contacts,
// as far as the viewer may see them now.
func (x watchData) addMissing(p *view.WatchPage) {
	zone := x.Zone()
	missing := x.State.MissingPersons()
	p.WhoNote = format.Count(len(missing)+x.State.Unnamed, "person", "people") + " not accounted for, of " +
		format.Count(len(x.State.People)+x.State.Unnamed, "on the roll.", "on the roll.")
	if !x.visibility.CanSee(privacy.KindName) {
		p.WhoNote += " " + x.namesClosed()
		return
	}
	p.Who = ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "Where"}, {Label: "Last agreed"}}}
	reveal := x.visibility.CanSee(privacy.KindContact)
	if reveal {
		p.Who.Columns = append(p.Who.Columns, ui.Column{Label: "Reach"})
	} else {
		p.WhoNote += " " + x.contactsClosed()
	}
	byID := map[string]signup.SignUp{}
	for _, s := range x.SignUps {
		byID[s.ID] = s
	}
	for _, m := range missing {
		where := string(m.Where)
		if m.Missing {
			where = "missing"
		}
		row := []ui.Cell{{Text: m.Name, Note: roleWords(m)}, {Text: where}, {Text: kit.LastWords(m, zone)}}
		if reveal {
			row = append(row, x.reach(m, byID[string(m.ID)]))
		}
		p.Who.Rows = append(p.Who.Rows, row)
	}
	if x.State.Unnamed > 0 {
		row := []ui.Cell{{Text: format.Count(x.State.Unnamed, "more", "more"),
			Note: "left the trailhead without a name"}, {Text: string(party.WhereOut)}, {}, {}}
		p.Who.Rows = append(p.Who.Rows, row[:len(p.Who.Columns)])
	}
}

// namesClosed says who may see the names if the viewer may not.
func (x watchData) namesClosed() string {
	if x.visibility.Window.Watched {
		return "Their names are for those who staff the hike and keep its watch."
	}
	return "Their names are shown from the departure until the watch is stood down."
}

// contactsClosed says who may see the numbers if the viewer may not.
func (x watchData) contactsClosed() string {
	if x.visibility.Window.Alarm {
		return "Their numbers open to whoever takes the alarm."
	}
	return "Their numbers are for those who staff the hike or are on call for it."
}

func roleWords(p party.Person) string {
	switch {
	case p.Minor:
		return strings.TrimSpace(p.Role + " under 18")
	case p.WalkUp:
		return "joined at the trailhead"
	}
	return p.Role
}

func (x watchData) reach(p party.Person, s signup.SignUp) ui.Cell {
	for _, m := range x.Hike.Staff {
		if m.Person == string(p.ID) && m.Phone != "" {
			return ui.Cell{Part: view.Reach(m.Phone, "", "")}
		}
	}
	if j, ok := x.joined(p.ID); ok {
		return ui.Cell{Text: "In need: " + format.OrElse(j.Contact, "nobody is named"), Note: j.Note}
	}
	if s.Mobile == "" {
		return ui.Cell{}
	}
	return ui.Cell{Part: view.Reach(s.Mobile, s.EmergencyName, s.EmergencyPhone)}
}

// joined returns the joining of a walk-up, with what they said.
func (x watchData) joined(id party.PersonID) (party.Event, bool) {
	for _, e := range slices.Backward(x.Events) {
		if e.Kind == party.KindJoined && slices.Contains(e.Persons, id) && e.Note != "" {
			return e, true
		}
	}
	return party.Event{}, false
}

// addBackByPhone asks who is back, if the viewer may see names and the party has left.
func (x watchData) addBackByPhone(p *view.WatchPage, a ui.FormState) {
	missing := x.State.MissingPersons()
	if p.NoteURL == "" || len(missing) == 0 || x.State.Departed.IsZero() || !x.visibility.CanSee(privacy.KindName) {
		return
	}
	var people []ui.Option
	for _, m := range missing {
		people = append(people, ui.Option{Value: string(m.ID), Label: m.Name, Note: roleWords(m),
			Selected: slices.Contains(a.Values["person"], string(m.ID))})
	}
	p.BackURL = x.path("/back")
	p.BackWho, p.BackSay = view.NewBackByPhone(people, a)
}

// stillMissing returns those of the IDs that are not accounted for.
func (x watchData) stillMissing(ids []string) []party.PersonID {
	var list []party.PersonID
	for _, m := range x.State.MissingPersons() {
		if slices.Contains(ids, string(m.ID)) {
			list = append(list, m.ID)
		}
	}
	return list
}
