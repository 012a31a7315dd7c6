package retention

import "time"

// OwnRecords are what is kept of a person beside their sign-up and their medical card.
type OwnRecords struct {
	// Town and Shares are what they said about sharing a car.
	Town   string
	Shares time.Time // zero where they did not
	Roll   []OwnRoll
	Mail   []OwnMail
	// Waiver is when what a claim needs goes, zero where it is not kept by itself yet.
	Waiver time.Time
	// Held says that a hold stands: nothing of the hike may be deleted.
	Held bool
}

// OwnRoll is one record of the roll that names the person.
type OwnRoll struct {
	At          time.Time
	Kind, Place string
}

// OwnMail is one message to the person, or to whom they named.
type OwnMail struct {
	At          time.Time
	To, Subject string
}
