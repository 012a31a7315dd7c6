package retention

import "saltbush/internal/privacy"

// Column is a column, beside those of the sign-ups, that holds something about people on a hike.
type Column struct {
	Table, Name string
	Kind        privacy.Kind // decides who sees it; no kind: nobody
	Class       DataClass    // decides when it is deleted
	// Rows says that the rows of the table are deleted with the class, for all people on a hike at
	// once. Otherwise something else stays in them, or they expire one by one.
	Rows bool
}

// Columns lists them by table.
func Columns() []Column {
	return []Column{
		// Sealed, so that a part cannot be deleted.
		{"medical_cards", "action", privacy.KindAction, Cards, true},
		{"medical_cards", "body", privacy.KindCard, Cards, true},

		// Who shares a car, from which town, what they were told about it, and the cars of staff.
		{"rides", "person", privacy.KindRide, Plates, true},
		{"rides", "shares", privacy.KindRide, Plates, true},
		{"rides", "town", privacy.KindRide, Plates, true},
		{"rides", "car", privacy.KindPlate, Plates, true},
		{"rides", "told", privacy.KindRide, Plates, true},

		// Secrets that open a place, a hike on its day, or an announcement.
		{"links", "subject", "", Contacts, true},
		{"day_links", "name", privacy.KindName, Contacts, true},
		{"announcement_recipients", "signup_id", privacy.KindName, Contacts, true},
		{"announcement_recipients", "link", "", Contacts, true},
		{"announcement_recipients", "read", privacy.KindName, Contacts, true},

		// Events lose their plates, then their contacts, then their names.
		{"roll_events", "body", privacy.KindName, Names, false},

		// Of staff. Their owner empties them, and so does the end of the account.
		{"accounts", "family_name", privacy.KindContact, Stays, false},
		{"accounts", "family_phone", privacy.KindContact, Stays, false},

		{"waivers", "person", privacy.KindName, Waivers, false},
		{"waivers", "name", privacy.KindName, Waivers, false},
		{"waivers", "minor", privacy.KindName, Waivers, false},
		{"waivers", "guardian", privacy.KindContact, Waivers, false},
		{"waivers", "consented", privacy.KindContact, Waivers, false},
		{"waivers", "risk_version", privacy.KindName, Waivers, false},
		{"waivers", "risk_accepted", privacy.KindName, Waivers, false},

		{"outbox", "recipient", privacy.KindContact, Messages, false},
		{"outbox", "subject", "", Messages, false},
		{"outbox", "body", "", Messages, false},
		{"outbox", "attached", "", Messages, false},
		{"outbox", "last_error", "", Messages, false},

		// People who want no more mail are not written to again, so their address stays.
		{"mail_choices", "address", privacy.KindContact, Stays, false},
		// The log of opened cards is never changed. The reason is sealed with the cards' key.
		{"card_openings", "signup_id", privacy.KindCard, Stays, false},
		{"card_openings", "by_whom", "", Stays, false},
		{"card_openings", "reason", privacy.KindCard, Stays, false},
	}
}

// Tables lists the tables whose rows are deleted with a class.
func Tables(class DataClass) []string {
	var list []string
	for _, c := range Columns() {
		if c.Rows && c.Class == class && (len(list) == 0 || list[len(list)-1] != c.Table) {
			list = append(list, c.Table)
		}
	}
	return list
}
