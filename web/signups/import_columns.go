package signups

import (
	"strconv"

	"saltbush/internal/privacy"
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

// signUpColumns are all columns, in the order in which they are written.
func signUpColumns() []signUpColumn {
	list := whoColumns()
	list = append(list, asksColumns()...)
	return append(list, carColumns()...)
}

func whoColumns() []signUpColumn {
	return []signUpColumn{
		{kit.Needed(kit.Column("Name", "name", kit.CellText, "as their family would say it")), privacy.KindName, func(x signup.SignUp) string { return x.Name }},
		{kit.Column("State", "", kit.CellText, "written, not read"), privacy.KindName, func(x signup.SignUp) string { return string(x.State) }},
		{kit.Column("Age", "age", kit.CellWord, "adult, minor or older: the bands of the form"), privacy.KindName, minorWord},
		{kit.Needed(kit.Column("E-mail", "email", kit.CellText, "where their place is written to", "mail address", "e-mail address")), privacy.KindContact, func(x signup.SignUp) string { return x.Email }},
		{kit.Needed(kit.Column("Mobile", "mobile", kit.CellText, "the phone they carry that day", "mobile phone")), privacy.KindContact, func(x signup.SignUp) string { return x.Mobile }},
		{kit.Column("Contact", "contact", kit.CellText, "whom to ring, who stays at home", "emergency contact"), privacy.KindContact, func(x signup.SignUp) string { return x.EmergencyName }},
		{kit.Column("Contact phone", "contact_tel", kit.CellText, "their number", "emergency phone"), privacy.KindContact, func(x signup.SignUp) string { return x.EmergencyPhone }},
		{kit.Column("Contact e-mail", "contact_email", kit.CellText, "their address; may be empty"), privacy.KindContact, func(x signup.SignUp) string { return x.ContactEmail }},
		{kit.Column("Guardian", "guardian", kit.CellText, "of a minor: parent or legal guardian"), privacy.KindContact, func(x signup.SignUp) string { return x.Guardian }},
		{kit.Column("Guardian phone", "guardian_tel", kit.CellText, "of a minor"), privacy.KindContact, func(x signup.SignUp) string { return x.GuardianPhone }},
		{kit.Column("Guardian agrees", "consent", kit.CellBox, "of a minor: yes, where the guardian has read the risks and agrees"), privacy.KindContact, func(x signup.SignUp) string { return kit.YesOr(!x.Consented.IsZero(), "") }},
		{kit.Column("Adult in charge", "adult", kit.CellText, "of a minor: the adult on this hike, in a line before the child or signed up already"), privacy.KindName, func(x signup.SignUp) string { return x.Adult }},
		{kit.Column("Accepts the risks", "agree", kit.CellBox, "yes, where the person has read the risks below and accepts them"), privacy.KindName, func(x signup.SignUp) string { return kit.YesOr(x.Acknowledged, "no") }},
		{kit.Column("Brought in by", "", kit.CellText, "written, not read"), privacy.KindName, func(x signup.SignUp) string { return x.ImportedBy }},
		{kit.Column("Water litres", "water", kit.CellText, "how much they can carry"), privacy.KindName, func(x signup.SignUp) string { return strconv.FormatFloat(float64(x.Water), 'f', -1, 64) }},
	}
}

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
		{kit.Column("Plate", "plate", kit.CellText, "of the car they come in; may be empty"), privacy.KindPlate, func(x signup.SignUp) string { return x.Car.Plate }},
		{kit.Column("Car make", "car_make", kit.CellText, "may be empty"), privacy.KindPlate, func(x signup.SignUp) string { return x.Car.Make }},
		{kit.Column("Car colour", "car_colour", kit.CellText, "may be empty"), privacy.KindPlate, func(x signup.SignUp) string { return x.Car.Colour }},
		{kit.Column("Seats offered", "car_seats", kit.CellText, "to others; may be empty"), privacy.KindPlate, func(x signup.SignUp) string { return strconv.Itoa(x.Car.Seats) }},
	}
}

func signUpFields() []kit.FormColumn {
	var list []kit.FormColumn
	for _, c := range signUpColumns() {
		list = append(list, c.FormColumn)
	}
	return list
}
