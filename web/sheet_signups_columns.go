package web

import (
	"strconv"

	"saltbush/internal/hike"
	"saltbush/internal/sheet"
)

// signUpColumn is a column of a hike's people. Those that are not written are questions
// whose answers go no further than the hike's own pages: of health, and of the talk before.
type signUpColumn struct {
	formColumn
	kind  hike.Kind // whom the table of who sees what lets read it
	write func(x hike.SignUp) string
}

// signUpColumns are all columns, in the order in which they are written.
func signUpColumns() []signUpColumn {
	list := whoColumns()
	list = append(list, asksColumns()...)
	return append(list, carColumns()...)
}

func column(name, field string, kind cellKind, says string, also ...string) formColumn {
	return formColumn{Column: sheet.Column{Name: name, Also: also}, field: field, kind: kind, says: says}
}

func needed(c formColumn) formColumn {
	c.Needed = true
	return c
}

func whoColumns() []signUpColumn {
	return []signUpColumn{
		{needed(column("Name", "name", cellText, "as their family would say it")), hike.KindName, func(x hike.SignUp) string { return x.Name }},
		{column("State", "", cellText, "written, not read"), hike.KindName, func(x hike.SignUp) string { return string(x.State) }},
		{column("Age", "age", cellWord, "adult, minor or older: the bands of the form"), hike.KindName, minorWord},
		{needed(column("E-mail", "email", cellText, "where their place is written to", "mail address", "e-mail address")), hike.KindContact, func(x hike.SignUp) string { return x.Email }},
		{needed(column("Mobile", "mobile", cellText, "the phone they carry that day", "mobile phone")), hike.KindContact, func(x hike.SignUp) string { return x.Mobile }},
		{column("Contact", "contact", cellText, "whom to ring, who stays at home", "emergency contact"), hike.KindContact, func(x hike.SignUp) string { return x.EmergencyName }},
		{column("Contact phone", "contact_tel", cellText, "their number", "emergency phone"), hike.KindContact, func(x hike.SignUp) string { return x.EmergencyPhone }},
		{column("Contact e-mail", "contact_email", cellText, "their address; may be empty"), hike.KindContact, func(x hike.SignUp) string { return x.ContactEmail }},
		{column("Guardian", "guardian", cellText, "of a minor: parent or legal guardian"), hike.KindContact, func(x hike.SignUp) string { return x.Guardian }},
		{column("Guardian phone", "guardian_tel", cellText, "of a minor"), hike.KindContact, func(x hike.SignUp) string { return x.GuardianPhone }},
		{column("Guardian agrees", "consent", cellBox, "of a minor: yes, where the guardian has read the risks and agrees"), hike.KindContact, func(x hike.SignUp) string { return yesOr(!x.Consented.IsZero(), "") }},
		{column("Adult in charge", "adult", cellText, "of a minor: the adult on this hike, in a line before the child or signed up already"), hike.KindName, func(x hike.SignUp) string { return x.Adult }},
		{column("Accepts the risks", "agree", cellBox, "yes, where the person has read the risks below and accepts them"), hike.KindName, func(x hike.SignUp) string { return yesOr(x.Acknowledged, "no") }},
		{column("Brought in by", "", cellText, "written, not read"), hike.KindName, func(x hike.SignUp) string { return x.BroughtBy }},
		{column("Water litres", "water", cellText, "how much they can carry"), hike.KindName, func(x hike.SignUp) string { return strconv.FormatFloat(float64(x.Water), 'f', -1, 64) }},
	}
}

// minorWord leaves the bands of grown-ups out: they are an answer for the talk.
func minorWord(x hike.SignUp) string {
	if x.Minor {
		return "minor"
	}
	return ""
}

// asksColumns are read and never written.
func asksColumns() []signUpColumn {
	var list []signUpColumn
	for _, c := range []formColumn{
		column("Longest walk", "walk_distance", cellText, "how far the longest walk lately was"), column("Walk unit", "walk_unit", cellWord, "km or mi"),
		column("Climb", "walk_climb", cellText, "how much it climbed; 0 for level ground"), column("Climb unit", "climb_unit", cellWord, "m or ft"),
		column("Hours", "walk_hours", cellText, "how long it took"), column("Weeks ago", "walk_ago", cellText, "how long ago it was"),
		column("Walk in words", "longest", cellText, "where it was, and how they felt after"),
		column("Hot days", "hot_days", cellText, "days of the last 14 active in heat"), column("Hot before", "hot_before", cellYes, "yes or no: have walked in hot weather"),
		column("Lives here", "lives_here", cellYes, "yes or no: more than two weeks in this climate"), column("Days here", "here", cellText, "if not, for how many days"), column("Came from", "from", cellText, "and from where"),
		column("Ill from heat", "heat_ill", cellYes, "yes or no: heat has made them ill before"), column("Health to talk over", "health", cellYes, "yes or no, and nothing else: a yes means that the leader rings"),
		column("Shoes", "shoes", cellText, "what they walk in"), column("Poles", "poles", cellBox, "yes or nothing"), column("To do for them", "needs", cellText, "what the leader should do that day; may be empty"),
		column("Drive minutes", "drive", cellText, "to the trailhead; may be empty"),
	} {
		list = append(list, signUpColumn{c, hike.KindScreening, nil})
	}
	return list
}

func carColumns() []signUpColumn {
	return []signUpColumn{
		{column("Plate", "plate", cellText, "of the car they come in; may be empty"), hike.KindPlate, func(x hike.SignUp) string { return x.Car.Plate }},
		{column("Car make", "car_make", cellText, "may be empty"), hike.KindPlate, func(x hike.SignUp) string { return x.Car.Make }},
		{column("Car colour", "car_colour", cellText, "may be empty"), hike.KindPlate, func(x hike.SignUp) string { return x.Car.Colour }},
		{column("Seats offered", "car_seats", cellText, "to others; may be empty"), hike.KindPlate, func(x hike.SignUp) string { return strconv.Itoa(x.Car.Seats) }},
	}
}

func signUpFields() []formColumn {
	var list []formColumn
	for _, c := range signUpColumns() {
		list = append(list, c.formColumn)
	}
	return list
}
