package retention

import "time"

// OwnRecords is what is on file about a person outside their sign-up and their medical card.
type OwnRecords struct {
	// Town and Shares are what they said about sharing a car.
	Town   string
	Shares time.Time // zero where they do not share one
	Roll   []OwnRoll
	Mail   []OwnMail
	// Waiver is when the record that a claim needs expires; zero while it is still part of the
	// sign-up.
	Waiver time.Time
	// Held says that a hold is in force: nothing about the hike may be deleted.
	Held bool
}

// OwnRoll is one event on the roll that names the person.
type OwnRoll struct {
	At          time.Time
	Kind, Place string
}

// OwnMail is one message to the person, or to somebody they named.
type OwnMail struct {
	At          time.Time
	To, Subject string
}
