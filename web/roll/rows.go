package roll

import (
	"fmt"
	"strconv"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

func (f rollFolded) people(open bool, buttons buttonsOf) []view.RollPerson {
	var rows []view.RollPerson
	for i, x := range f.state.People {
		row := view.RollPerson{ID: string(x.ID), Number: strconv.Itoa(i + 1), Name: x.Name, Role: x.Role, Staff: x.Staff,
			Where: string(x.Where), Event: f.event(), Flags: f.flagsOf(x)}
		if x.Where != party.WhereExpected {
			row.State, row.StateNote = whereStamp(x.Where), f.whereNote(x)
		}
		if open {
			row.Buttons = f.buttons(&row, x, buttons)
		}
		rows = append(rows, row)
	}
	return rows
}

// buttons makes the row's buttons. One that takes a record back names that record, and is
// not offered where the record is about others too.
func (f rollFolded) buttons(row *view.RollPerson, x party.Person, of buttonsOf) []ui.ButtonText {
	list := of(x.Where, !f.state.Departed.IsZero())
	if len(list) == 1 && list[0].Value == undo {
		if !f.isOfOne(x.Mark()) {
			return nil
		}
		row.Event.ID = string(x.Mark())
	}
	return about(list, x.Name)
}

func (f rollFolded) isOfOne(id party.EventID) bool {
	for _, e := range f.rec.Events {
		if e.ID == id {
			return len(e.Persons) == 1
		}
	}
	return false
}

// flagsOf is what the leader must know or do, never why, as far as the viewer may see it.
func (f rollFolded) flagsOf(x party.Person) []view.RollFlag {
	var flags []view.RollFlag
	for _, s := range f.SignUps {
		if s.ID != string(x.ID) {
			continue
		}
		if s.Minor {
			text := "Under 18"
			if f.sight.CanSee(privacy.KindContact) {
				text += ", guardian " + s.Guardian + " " + s.GuardianPhone
			}
			flags = append(flags, view.RollFlag{Text: text})
		}
		if s.Carded {
			flags = append(flags, cardFlag(f.actions, s))
		}
		if f.Plan != nil && s.Water < f.Plan.Water.Carry {
			flags = append(flags, view.RollFlag{Text: fmt.Sprintf("Said %.1f L of water; this hike needs %.1f L. Look.", s.Water.Litres(), f.Plan.Water.Carry.Litres())})
		}
	}
	return flags
}

func about(buttons []ui.ButtonText, name string) []ui.ButtonText {
	for i := range buttons {
		buttons[i].About = name
	}
	return buttons
}

// whereStamp finds the stamp for a person's whereabouts.
func whereStamp(w party.Whereabouts) ui.StampText {
	switch w {
	case party.WhereAbsent:
		return ui.StampOf("not here")
	case party.WhereLeftEarly:
		return ui.StampOf("left early")
	case party.WhereAtCar:
		return ui.StampOf("back").WithNote("at the car")
	}
	return ui.StampOf(string(w))
}

func (f rollFolded) whereNote(x party.Person) string {
	note := ""
	if !x.Since.IsZero() {
		note = format.Clock(x.Since, f.Zone())
	}
	if x.Where == party.WhereLeftEarly {
		note += ", not yet known to be at the car"
	}
	if x.Where == party.WhereOut && x.Last.Place != "" {
		note += ", last counted at " + x.Last.Place + " " + format.Clock(x.Last.At, f.Zone())
	}
	return note
}

func kindButton(label, kind string, look ui.ButtonKind) ui.ButtonText {
	return ui.ButtonText{Label: label, Kind: look, Name: "kind", Value: kind}
}

// buttonsOf gives the buttons of a row by where the person is and whether the party left.
type buttonsOf func(where party.Whereabouts, departed bool) []ui.ButtonText

func startButtons(where party.Whereabouts, departed bool) []ui.ButtonText {
	if departed {
		return nil
	}
	switch where {
	case party.WhereExpected:
		return []ui.ButtonText{kindButton("Here", "here", ui.ButtonMain), kindButton("Not here", "not here", ui.ButtonPlain)}
	case party.WhereHere:
		return []ui.ButtonText{kindButton("Not here after all", undo, ui.ButtonQuiet)}
	case party.WhereAbsent:
		return []ui.ButtonText{kindButton("Here", "here", ui.ButtonMain)}
	}
	return nil
}

func backButtons(where party.Whereabouts, departed bool) []ui.ButtonText {
	switch where {
	case party.WhereOut:
		return []ui.ButtonText{kindButton("Back", "back", ui.ButtonMain)}
	case party.WhereLeftEarly:
		return []ui.ButtonText{kindButton("At the car", "at the car", ui.ButtonMain)}
	case party.WhereExpected:
		if departed {
			return []ui.ButtonText{kindButton("Was not here", "not here", ui.ButtonPlain)}
		}
	case party.WhereHere:
		if departed {
			return []ui.ButtonText{kindButton("Was not here", undo, ui.ButtonPlain)}
		}
	}
	return nil
}
