package retention

import (
	"context"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
)

// DataClass is a class of data about the people on a hike. Each class is deleted at its own time
// after the hike.
type DataClass string

// The classes, in the order in which the default rules delete them. Their texts are stored in
// the database: add more, but never rename one.
const (
	// Cards are medical cards.
	Cards DataClass = "medical cards"
	// Plates are the cars of the sign-ups, and the plates recorded on the roll.
	Plates DataClass = "plates"
	// Contacts are phone numbers and addresses, of contacts and guardians too, what people said
	// about their walks, the talks, the private links, and everybody who asked for a place and did
	// not have one in the end.
	Contacts DataClass = "contacts"
	// Names are the names on the roll and its free texts. Numbers, times and places stay.
	Names DataClass = "names"
	// Waivers say who accepted which text of the risks, and which guardian agreed.
	Waivers DataClass = "waivers"
)

// Classes of which only the log of deletions speaks.
const (
	// Messages are deleted by their own age, whatever hike they were about.
	Messages DataClass = "messages"
	// OwnData was deleted because the person asked for it.
	OwnData DataClass = "own data"
)

// Stays is the class of data that is never deleted: without the names it says nothing about
// anybody.
const Stays DataClass = ""

// DataClasses lists the classes in the order of the default rules.
func DataClasses() []DataClass {
	return []DataClass{Cards, Plates, Contacts, Names, Waivers}
}

// Words describes the class for people.
func (k DataClass) Words() string {
	switch k {
	case Cards:
		return "medical cards"
	case Plates:
		return "cars and their plates"
	case Contacts:
		return "numbers, addresses, contacts, what was told of walks, talks, private links"
	case Names:
		return "names on the roll and its notes; numbers, times and places stay"
	case Waivers:
		return "who accepted the risks, and whose guardian agreed"
	case Messages:
		return "messages sent: to whom, and what they said"
	case OwnData:
		return "what one person had deleted"
	}
	return string(k)
}

// KeepFor returns how long a class is kept after the close of its hike.
func KeepFor(r rules.Rules, k DataClass) time.Duration {
	switch k {
	case Cards:
		return r.KeepMedical
	case Plates:
		return r.KeepPlates
	case Contacts:
		return r.KeepContacts
	case Names:
		return r.KeepNames
	}
	return r.KeepWaivers
}

// Majority is the age, in years, from which the time for a minor's claim is counted.
//
// Common practice of published schedules (practice, section 6): waivers and guardians' consents
// of minors are kept from the 18th birthday on.
const Majority = 18

// WaiverExpires returns when the record of an acceptance is deleted. Our judgment: we store no
// year of birth, so a minor is counted as if born on the day of the close. That way no record is
// deleted before its claim has expired.
func WaiverExpires(r rules.Rules, closed time.Time, minor bool) time.Time {
	if minor {
		closed = closed.AddDate(Majority, 0, 0)
	}
	return closed.Add(r.KeepWaivers)
}

// Expiry is one class of data of one hike, and when it is deleted.
type Expiry struct {
	Kind      DataClass
	ExpiresAt time.Time // zero where that is not known yet
	// Gone is when it was deleted; zero while it is there.
	Gone time.Time
}

// HoldMaker is the author of a hold that the program set by itself.
const HoldMaker = "set by itself when the hike was closed"

// Hold stops all deletions of a hike until it is lifted.
type Hold struct {
	Hike ref.Hike
	// Title is the title of the hike.
	Title         string
	Because       string
	By            string
	Since         time.Time
	Lifted        time.Time // zero while it is in force
	LiftedBy      string
	LiftedBecause string
}

// CheckHold returns an Invalid if the reason for a hold is missing.
func CheckHold(because string) error {
	v := fault.Invalid{}
	v.Require("because", because, 500,
		"Write why nothing of this hike may be deleted: a claim, an inquiry, somebody hurt.")
	return v.Err()
}

// CheckLift returns an Invalid if the reason for lifting a hold is missing.
func CheckLift(because string) error {
	v := fault.Invalid{}
	v.Require("lift", because, 500, "Write why this hold may end: the claim is settled, nobody was hurt.")
	return v.Err()
}

// Deletion is one entry in the log of deletions. It is never changed.
type Deletion struct {
	Hike ref.Hike // 0 for what belongs to no hike
	// Title is empty where the hike is no longer known.
	Title string
	Kind  DataClass
	Gone  int // people, messages or records
	At    time.Time
	By    string // the daily run, or the person who asked
}

// Case is one hike whose data has not all been deleted.
type Case struct {
	Hike  ref.Hike
	Title string
	State hike.State
	Meet  time.Time
	// Closed is when the times to keep begin: at the close, or at the meeting time of a hike that
	// was called off. It is zero while the hike is open. Until then nothing is deleted but the
	// medical cards of a hike that never left.
	Closed time.Time
	// Going has every class, with when it was deleted.
	Going []Expiry
	Hold  *Hold // nil where there is none
	// Waivers is how many waivers are kept, and NextWaiver when the first of them expires.
	Waivers    int
	NextWaiver time.Time
}

// Due lists the classes that are to be deleted now: none while a hold is in force.
func (r Case) Due(now time.Time) []DataClass {
	var due []DataClass
	for _, g := range r.Going {
		if g.Gone.IsZero() && !g.ExpiresAt.IsZero() && !now.Before(g.ExpiresAt) && r.Hold == nil {
			due = append(due, g.Kind)
		}
	}
	return due
}

// Schedule fills in Going: when the rules delete each class, and when it was deleted. Waivers
// expire one by one and are left out. Medical cards are also deleted from a hike that never left
// and was never closed, because nobody will need to look them up.
func (r *Case) Schedule(rules rules.Rules, start time.Time, gone map[DataClass]time.Time) {
	for _, k := range DataClasses() {
		if k == Waivers {
			continue
		}
		g := Expiry{Kind: k, Gone: gone[k]}
		from := r.Closed
		if from.IsZero() && k == Cards && (r.State == hike.Posted || r.State == hike.Draft) {
			from = start
		}
		if !from.IsZero() {
			g.ExpiresAt = from.Add(KeepFor(rules, k))
		}
		r.Going = append(r.Going, g)
	}
}

// LogEntry is one line of the audit log.
type LogEntry struct {
	At   time.Time
	By   string
	What string // "card opened", "deleted", "rule", "roles", "hold set", "hold lifted", "own data"
	// About is the hike, rule or person concerned. Note says more, but never what a card says.
	About, Note string
}

// Store deletes data about people when the rules say so.
type Store interface {
	// DeleteDue deletes what is due. It runs once a day: when the day's run was done already, it
	// does nothing.
	DeleteDue(ctx context.Context, now time.Time, rules rules.Rules, by string) ([]Deletion, error)
	// Cases lists the hikes with data that is not deleted yet, the oldest first.
	Cases(ctx context.Context, now time.Time, rules rules.Rules) ([]Case, error)
	// Deletions lists at most n deletions, the newest first.
	Deletions(ctx context.Context, n int) ([]Deletion, error)
	// LastDeletionRun returns when the last daily run was; zero for never.
	LastDeletionRun(ctx context.Context) (time.Time, error)
	// HoldHike stops all deletions of a hike, and LiftHold allows them again. Both need a reason,
	// which is stored.
	HoldHike(ctx context.Context, id ref.Hike, because, by string, now time.Time) error
	LiftHold(ctx context.Context, id ref.Hike, because, by string, now time.Time) error
	// Holds lists every hold, those in force first.
	Holds(ctx context.Context) ([]Hold, error)
	// ForgetPerson deletes the data of one person, except what a claim needs.
	ForgetPerson(ctx context.Context, id string, now time.Time, rules rules.Rules) error
	// OwnRecords loads what is on file about a person outside their sign-up.
	OwnRecords(ctx context.Context, id string) (OwnRecords, error)
	// Note adds a line to the audit log. Audit lists its newest n lines.
	Note(ctx context.Context, a LogEntry) error
	Audit(ctx context.Context, n int) ([]LogEntry, error)
}
