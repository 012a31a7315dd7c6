package signups

import (
	"slices"
	"strconv"
	"time"

	"saltbush/internal/privacy"
	"saltbush/internal/retention"
	"saltbush/internal/signup"
	"saltbush/web/kit"
)

// signUpColumn is a column of a hike's people. Those that are not written are questions
// whose answers go no further than the hike's own pages: of health, and of the talk before.
type signUpColumn struct {
	kit.FormColumn
	kind  privacy.Kind // whom the table of who sees what lets read it
	write func(x signup.SignUp) string
}

// written is a column that holds a field of the registry, as it reads.
func written(c kit.FormColumn, field string) signUpColumn {
	f := retention.FieldNamed(field)
	return signUpColumn{c, f.Kind, func(x signup.SignUp) string { return f.Text(x, time.UTC) }}
}

// writtenAs is a column that holds a field in other words than its own.
func writtenAs(c kit.FormColumn, field string, write func(x signup.SignUp) string) signUpColumn {
	return signUpColumn{c, retention.FieldNamed(field).Kind, write}
}

// signUpColumns are all columns, in the order in which they are written.
func signUpColumns() []signUpColumn {
	return slices.Concat(whoColumns(), asksColumns(), carColumns())
}

func whoColumns() []signUpColumn {
	agrees := func(x signup.SignUp) string { return kit.YesOr(!x.Consented.IsZero(), "") }
	accepts := func(x signup.SignUp) string { return kit.YesOr(x.Acknowledged, "no") }
	return []signUpColumn{
		written(kit.Needed(kit.Column("Name", "name", kit.CellText, "as their family would say it")), "name"),
		written(kit.Column("State", "", kit.CellText, "written, not read"), "state"),
		writtenAs(kit.Column("Age", "age", kit.CellWord, "adult, minor or older: the bands of the form"), "under age", minorWord),
		written(kit.Needed(kit.Column("E-mail", "email", kit.CellText, "where their place is written to",
			"mail address", "e-mail address")), "email"),
		written(kit.Needed(kit.Column("Mobile", "mobile", kit.CellText, "the phone they carry that day",
			"mobile phone")), "mobile"),
		written(kit.Column("Contact", "contact", kit.CellText, "whom to ring, who stays at home",
			"emergency contact"), "contact's name"),
		written(kit.Column("Contact phone", "contact_tel", kit.CellText, "their number", "emergency phone"), "contact's phone"),
		written(kit.Column("Contact e-mail", "contact_email", kit.CellText, "their address; may be empty"), "contact's email"),
		written(kit.Column("Guardian", "guardian", kit.CellText, "of a minor: parent or legal guardian"), "guardian"),
		written(kit.Column("Guardian phone", "guardian_tel", kit.CellText, "of a minor"), "guardian's phone"),
		writtenAs(kit.Column("Guardian agrees", "consent", kit.CellBox,
			"of a minor: yes, where the guardian has read the risks and agrees"), "guardian's consent", agrees),
		written(kit.Column("Adult in charge", "adult", kit.CellText,
			"of a minor: the adult on this hike, in a line before the child or signed up already"), "adult in charge"),
		writtenAs(kit.Column("Accepts the risks", "agree", kit.CellBox,
			"yes, where the person has read the risks below and accepts them"), "risks accepted", accepts),
		written(kit.Column("Brought in by", "", kit.CellText, "written, not read"), "brought in by"),
		writtenAs(kit.Column("Water litres", "water", kit.CellText, "how much they can carry"), "water", waterWord),
	}
}

func waterWord(x signup.SignUp) string { return strconv.FormatFloat(float64(x.Water), 'f', -1, 64) }

// minorWord leaves the bands of grown-ups out: they are an answer for the talk.
func minorWord(x signup.SignUp) string {
	if x.Minor {
		return "minor"
	}
	return ""
}

// asksColumns are read and never written.
func asksColumns() []signUpColumn {
	var list []signUpColumn
	for _, c := range []kit.FormColumn{
		kit.Column("Longest walk", "walk_distance", kit.CellText, "how far the longest walk lately was"), kit.Column("Walk unit", "walk_unit", kit.CellWord, "km or mi"),
		kit.Column("Climb", "walk_climb", kit.CellText, "how much it climbed; 0 for level ground"), kit.Column("Climb unit", "climb_unit", kit.CellWord, "m or ft"),
		kit.Column("Hours", "walk_hours", kit.CellText, "how long it took"), kit.Column("Weeks ago", "walk_ago", kit.CellText, "how long ago it was"),
		kit.Column("Walk in words", "longest", kit.CellText, "where it was, and how they felt after"),
		kit.Column("Hot days", "hot_days", kit.CellText, "days of the last 14 active in heat"), kit.Column("Hot before", "hot_before", kit.CellYes, "yes or no: have walked in hot weather"),
		kit.Column("Lives here", "lives_here", kit.CellYes, "yes or no: more than two weeks in this climate"), kit.Column("Days here", "here", kit.CellText, "if not, for how many days"), kit.Column("Came from", "from", kit.CellText, "and from where"),
		kit.Column("Ill from heat", "heat_ill", kit.CellYes, "yes or no: heat has made them ill before"), kit.Column("Health to talk over", "health", kit.CellYes, "yes or no, and nothing else: a yes means that the leader rings"),
		kit.Column("Shoes", "shoes", kit.CellText, "what they walk in"), kit.Column("Poles", "poles", kit.CellBox, "yes or nothing"), kit.Column("To do for them", "needs", kit.CellText, "what the leader should do that day; may be empty"),
		kit.Column("Drive minutes", "drive", kit.CellText, "to the trailhead; may be empty"),
	} {
		list = append(list, signUpColumn{c, privacy.KindScreening, nil})
	}
	return list
}

func carColumns() []signUpColumn {
	return []signUpColumn{
		written(kit.Column("Plate", "plate", kit.CellText, "of the car they come in; may be empty"), "plate"),
		writtenAs(kit.Column("Car make", "car_make", kit.CellText, "may be empty"), "make of the car",
			func(x signup.SignUp) string { return x.Car.Make }),
		written(kit.Column("Car colour", "car_colour", kit.CellText, "may be empty"), "color of the car"),
		writtenAs(kit.Column("Seats offered", "car_seats", kit.CellText, "to others; may be empty"), "seats offered",
			func(x signup.SignUp) string { return strconv.Itoa(x.Car.Seats) }),
	}
}

func signUpFields() []kit.FormColumn {
	var list []kit.FormColumn
	for _, c := range signUpColumns() {
		list = append(list, c.FormColumn)
	}
	return list
}
