package roll

import (
	"slices"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/phone"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// people makes the rows. Without open they have no buttons.
func (f foldedRoll) people(open bool, buttons buttonsFunc) []view.RollPerson {
	var rows []view.RollPerson
	conflicts := phone.Flags(f.state, time.Time{})
	for i, x := range f.state.People {
		row := view.RollPerson{
			ID: string(x.ID), Number: strconv.Itoa(i + 1), Name: x.Name, Role: x.Role, Staff: x.Staff,
			Where: string(x.Where), Event: f.newEvent(), Flags: append(f.flagsOf(x), conflictsOf(x, conflicts)...),
		}
		if x.Where != party.WhereExpected {
			row.State, row.StateNote = whereStamp(x.Where), f.whereNote(x)
		}
		if open {
			f.addButtons(&row, x, buttons)
		}
		rows = append(rows, row)
	}
	return rows
}

// conflictsOf lists the records that contradict each other about a person, at the person's row.
func conflictsOf(x party.Person, flags []phone.Flag) []view.RollFlag {
	var list []view.RollFlag
	for _, f := range flags {
		if f.Settle && slices.Contains(f.Persons, x.ID) {
			list = append(list, view.RollFlag{
				Text:  format.SentenceWord(string(f.Kind)) + ": choose the right record at the top.",
				Grave: true, Conflict: true,
			})
		}
	}
	return list
}

// addButtons adds the row's buttons. An undo button names the event that it undoes, and is
// left out if that event is about others too.
func (f foldedRoll) addButtons(row *view.RollPerson, x party.Person, buttons buttonsFunc) {
	list := buttons(x.Where, !f.state.Departed.IsZero())
	if len(list) == 1 && list[0].Value == undo {
		if !f.isAboutOne(x.Mark()) {
			return
		}
		row.Event.ID = string(x.Mark())
	}
	row.Buttons = about(list, x.Name)
}

// isAboutOne reports whether an event names exactly one person.
func (f foldedRoll) isAboutOne(id party.EventID) bool {
	for _, e := range f.rec.Events {
		if e.ID == id {
			return len(e.Persons) == 1
		}
	}
	return false
}

// flagsOf lists what the leader must know or do, never the reason, as far as the viewer may
// see it.
func (f foldedRoll) flagsOf(x party.Person) []view.RollFlag {
	for _, s := range f.SignUps {
		if s.ID == string(x.ID) {
			return f.signUpFlags(s)
		}
	}
	return nil
}

func (f foldedRoll) signUpFlags(s signup.SignUp) []view.RollFlag {
	var flags []view.RollFlag
	if s.Minor {
		text := "Under 18"
		if f.visibility.CanSee(privacy.KindContact) {
			text += ", guardian " + s.Guardian + " " + s.GuardianPhone
		}
		flags = append(flags, view.RollFlag{Text: text})
	}
	if s.Carded {
		flags = append(flags, cardFlag(f.actions, s))
	}
	if f.visibility.CanSee(privacy.KindScreening) {
		flags = append(flags, screeningFlags(s)...)
	}
	if f.Plan != nil && s.Water < f.Plan.Water.Carry {
		text := "Said " + litres(s.Water) + " of water; this hike needs " + litres(f.Plan.Water.Carry) + ". Look."
		flags = append(flags, view.RollFlag{Text: text})
	}
	return flags
}

// screeningFlags repeat what the person said beforehand and the leader looks at now: their shoes, and
// whether there is something about their health, without saying what.
func screeningFlags(s signup.SignUp) []view.RollFlag {
	var flags []view.RollFlag
	if shoes := s.SelfReport.Shoes; shoes != "" {
		flags = append(flags, view.RollFlag{Text: "Said they would wear " + shoes + ". Check."})
	}
	if s.SelfReport.Health || s.SelfReport.HeatIll {
		flags = append(flags, view.RollFlag{Text: "Said yes to a question about health. Ask how they are today."})
	}
	return flags
}

// about names the person that the buttons are about, for screen readers.
func about(buttons []ui.ButtonText, name string) []ui.ButtonText {
	for i := range buttons {
		buttons[i].About = name
	}
	return buttons
}

// whereStamp returns the stamp for a person's whereabouts.
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

func (f foldedRoll) whereNote(x party.Person) string {
	note := ""
	if !x.Since.IsZero() {
		note = f.clock(x.Since)
	}
	if x.Where == party.WhereLeftEarly {
		note += ", not yet known to be at the car"
	}
	if x.Where == party.WhereOut && x.Last.Place != "" {
		note += ", last counted at " + x.Last.Place + " " + f.clock(x.Last.At)
	}
	return note
}

// buttonsFunc returns the buttons of a row, by where the person is and whether the party has
// left.
type buttonsFunc func(where party.Whereabouts, departed bool) []ui.ButtonText

func startButtons(where party.Whereabouts, departed bool) []ui.ButtonText {
	if departed {
		return nil
	}
	here := kindButton("Here", "here", ui.ButtonMain)
	switch where {
	case party.WhereExpected:
		return []ui.ButtonText{here, kindButton("Not here", "not here", ui.ButtonPlain)}
	case party.WhereHere:
		return []ui.ButtonText{kindButton("Not here after all", undo, ui.ButtonQuiet)}
	case party.WhereAbsent:
		return []ui.ButtonText{here}
	}
	return nil
}

func backButtons(where party.Whereabouts, departed bool) []ui.ButtonText {
	switch {
	case where == party.WhereOut:
		return []ui.ButtonText{kindButton("Back", "back", ui.ButtonMain)}
	case where == party.WhereLeftEarly:
		return []ui.ButtonText{kindButton("At the car", "at the car", ui.ButtonMain)}
	case where == party.WhereExpected && departed:
		return []ui.ButtonText{kindButton("Was not here", "not here", ui.ButtonPlain)}
	case where == party.WhereHere && departed:
		return []ui.ButtonText{kindButton("Was not here", undo, ui.ButtonPlain)}
	}
	return nil
}
