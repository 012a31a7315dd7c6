package retention

import "saltbush/internal/privacy"

// Column is a column beside those of the sign-ups that holds something about people on a hike.
type Column struct {
	Table, Name string
	Kind        privacy.Kind // who sees it; no kind: nobody
	Class       DataClass    // when it is deleted
}

// Columns lists them by table. The store deletes what each holds in the time of its class,
// whole rows where nothing else is in them.
func Columns() []Column {
	return []Column{
		// The medical card is sealed: a row is deleted whole.
		{"medical_cards", "action", privacy.KindAction, Cards},
		{"medical_cards", "body", privacy.KindCard, Cards},

		// Who shares a car, from which town, what they were told of it, and the cars of staff.
		{"rides", "person", privacy.KindRide, Plates},
		{"rides", "shares", privacy.KindRide, Plates},
		{"rides", "town", privacy.KindRide, Plates},
		{"rides", "car", privacy.KindPlate, Plates},
		{"rides", "told", privacy.KindRide, Plates},

		// Secrets that open a place, a hike on its day, or a message.
		{"links", "subject", "", Contacts},
		{"day_links", "name", privacy.KindName, Contacts},
		{"announcement_recipients", "signup_id", privacy.KindName, Contacts},
		{"announcement_recipients", "link", "", Contacts},
		{"announcement_recipients", "read", privacy.KindName, Contacts},

		// An event loses its plates, its contacts and its names one after the other, the names last.
		{"roll_events", "body", privacy.KindName, Names},

		{"waivers", "person", privacy.KindName, Waivers},
		{"waivers", "name", privacy.KindName, Waivers},
		{"waivers", "minor", privacy.KindName, Waivers},
		{"waivers", "guardian", privacy.KindContact, Waivers},
		{"waivers", "consented", privacy.KindContact, Waivers},
		{"waivers", "risk_version", privacy.KindName, Waivers},
		{"waivers", "risk_accepted", privacy.KindName, Waivers},

		{"outbox", "recipient", privacy.KindContact, Messages},
		{"outbox", "subject", "", Messages},
		{"outbox", "body", "", Messages},
		{"outbox", "attached", "", Messages},
		{"outbox", "last_error", "", Messages},

		// A person who wants no more mail is not written to again, so the address stays.
		{"mail_choices", "address", privacy.KindContact, Stays},
		// The log of opened cards is never changed. The reason is sealed with the card's key.
		{"card_openings", "signup_id", privacy.KindCard, Stays},
		{"card_openings", "by_whom", "", Stays},
		{"card_openings", "reason", privacy.KindCard, Stays},
	}
}
