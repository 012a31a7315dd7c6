package signups

import (
	"strconv"

	"saltbush/internal/privacy"
	"saltbush/internal/sheet"
	"saltbush/web/kit"
)

// signUpColumn is a column of a hike's people.
type signUpColumn struct {
	kit.Column[Answers]
	kind privacy.Kind // who may read it, by the table of who sees what
}

// signUpColumns are all columns, in the order in which they are written. The form for a place reads
// them. What the form never shows again is never written either.
func signUpColumns() []signUpColumn {
	list := append(whoColumns(), talkColumns()...)
	return append(list, carColumns()...)
}

// signUpTable returns the columns as a table that is read.
func signUpTable() kit.Columns[Answers] {
	var list kit.Columns[Answers]
	for _, c := range signUpColumns() {
		list = append(list, c.Column)
	}
	return list
}

// columnsOf returns a function that makes columns of one kind of data.
func columnsOf(kind privacy.Kind) func(head, field, says string, also ...string) signUpColumn {
	form := SignUpForm(FormFor{})
	return func(head, field, says string, also ...string) signUpColumn {
		return signUpColumn{form.Named(field).Column(head, says, also...), kind}
	}
}

// needed returns the column marked as needed.
func (c signUpColumn) needed() signUpColumn {
	c.Column = c.AsNeeded()
	return c
}

// writes returns the column with its own way of writing a cell.
func (c signUpColumn) writes(write func(Answers) string) signUpColumn {
	c.Write = write
	return c
}

// notRead is a column without a question in the form: it is written only.
func notRead(head string, write func(Answers) string) signUpColumn {
	return signUpColumn{kit.Column[Answers]{Column: sheet.Column{Name: head}, Write: write}, privacy.KindName}
}

func whoColumns() []signUpColumn {
	name, reach := columnsOf(privacy.KindName), columnsOf(privacy.KindContact)
	return []signUpColumn{
		name("Name", "name", "as their family would say it").needed(),
		notRead("State", func(a Answers) string { return string(a.State) }),
		name("Age", "age", "adult, minor or older: the bands of the form").writes(minorOrNothing),
		reach("E-mail", "email", "where their place is written to", "mail address", "e-mail address").needed(),
		reach("Mobile", "mobile", "the phone they carry that day", "mobile phone").needed(),
		reach("Contact", "contact", "whom to ring, who stays at home", "emergency contact"),
		reach("Contact phone", "contact_tel", "their number", "emergency phone"),
		reach("Contact e-mail", "contact_email", "their address; may be empty"),
		reach("Guardian", "guardian", "of a minor: parent or legal guardian"),
		reach("Guardian phone", "guardian_tel", "of a minor"),
		reach("Guardian agrees", "consent", "of a minor: yes, where the guardian has read the risks and agrees"),
		name("Adult in charge", "adult",
			"of a minor: the adult on this hike, in a line before the child or signed up already"),
		name("Accepts the risks", "agree", "yes, where the person has read the risks below and accepts them").
			writes(func(a Answers) string { return kit.YesOr(a.Acknowledged, "no") }),
		notRead("Brought in by", func(a Answers) string { return a.ImportedBy }),
		name("Water litres", "water", "how much they can carry").
			writes(func(a Answers) string { return strconv.FormatFloat(float64(a.Water), 'f', -1, 64) }),
	}
}

// minorOrNothing leaves out the bands of adults, because they are an answer for the talk.
func minorOrNothing(a Answers) string {
	if a.Minor {
		return "minor"
	}
	return ""
}

// talkColumns are the answers for the talk before the hike. They stay on the hike's own pages, so
// these columns are read and never written.
func talkColumns() []signUpColumn {
	talk := columnsOf(privacy.KindScreening)
	return []signUpColumn{
		talk("Longest walk", "walk_distance", "how far the longest walk lately was"),
		talk("Walk unit", "walk_unit", "km or mi"),
		talk("Climb", "walk_climb", "how much it climbed; 0 for level ground"),
		talk("Climb unit", "climb_unit", "m or ft"),
		talk("Hours", "walk_hours", "how long it took"),
		talk("Weeks ago", "walk_ago", "how long ago it was"),
		talk("Walk in words", "longest", "where it was, and how they felt after"),
		talk("Hot days", "hot_days", "days of the last 14 active in heat"),
		talk("Hot before", "hot_before", "yes or no: have walked in hot weather"),
		talk("Lives here", "lives_here", "yes or no: more than two weeks in this climate"),
		talk("Days here", "here", "if not, for how many days"),
		talk("Came from", "from", "and from where"),
		talk("Ill from heat", "heat_ill", "yes or no: heat has made them ill before"),
		talk("Health to talk over", "health", "yes or no, and nothing else: a yes means that the leader rings"),
		talk("Shoes", "shoes", "what they walk in"),
		talk("Poles", "poles", "yes or nothing"),
		talk("To do for them", "needs", "what the leader should do that day; may be empty"),
		talk("Drive minutes", "drive", "to the trailhead; may be empty"),
	}
}

func carColumns() []signUpColumn {
	car := columnsOf(privacy.KindPlate)
	return []signUpColumn{
		car("Plate", "plate", "of the car they come in; may be empty"),
		car("Car make", "car_make", "may be empty"),
		car("Car colour", "car_colour", "may be empty"),
		car("Seats offered", "car_seats", "to others; may be empty").
			writes(func(a Answers) string { return strconv.Itoa(a.Car.Seats) }),
	}
}
