package retention

import (
	"context"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
)

// DataClass is a kind of what is kept of the people of a hike after it, and goes in its time.
type DataClass string

// The kinds, in the order in which they go by the defaults. Their texts are in the
// database: add, never rename.
const (
	// Cards are medical cards, whole.
	Cards DataClass = "medical cards"
	// Plates are the cars of the sign-ups, and the plates that the roll saw.
	Plates DataClass = "plates"
	// Contacts are numbers and addresses, of contacts and guardians too, what people told
	// of their walks, the talks, the private links, and whoever asked and had no place at the end.
	Contacts DataClass = "contacts"
	// Names are the names on the roll and its free texts. Numbers, times and places stay.
	Names DataClass = "names"
	// Waivers say who accepted which text of the risks, and which guardian agreed.
	Waivers DataClass = "waivers"
)

// What else the log of deletions names beside the kinds.
const (
	// Messages went by their own age, whatever hike they were about.
	Messages DataClass = "messages"
	// OwnData went because the person asked for it.
	OwnData DataClass = "own data"
)

// Stays is the class of what is never deleted: it tells of nobody once the names are gone.
const Stays DataClass = ""

// DataClasses lists every kind.
func DataClasses() []DataClass {
	return []DataClass{Cards, Plates, Contacts, Names, Waivers}
}

// Words says what goes, for people.
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

// KeepFor is how long a kind is kept, counted from the close of its hike.
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

// Majority is when a claim of somebody under age begins to run out.
//
// Common practice of published schedules (practice, section 6): waivers and guardians' consents of minors
// are counted from the 18th birthday.
const Majority = 18

// WaiverExpires is when the record of an acceptance goes. House judgement: no birth year is kept,
// so somebody under age is counted as if born that day; a claim is never outlived.
func WaiverExpires(r rules.Rules, closed time.Time, minor bool) time.Time {
	if minor {
		closed = closed.AddDate(Majority, 0, 0)
	}
	return closed.Add(r.KeepWaivers)
}

// Expiry is a kind of what is kept of one hike, and from when it goes.
type Expiry struct {
	Kind      DataClass
	ExpiresAt time.Time // zero where nothing says when
	// Gone is when it went, zero while it is there.
	Gone time.Time
}

// HoldMaker is by whom a hold stands that nobody set by hand.
const HoldMaker = "set by itself when the hike was closed"

// Hold stops every deletion of a hike while it stands.
type Hold struct {
	Hike ref.Hike
	// Title is that of the hike.
	Title         string
	Because       string
	By            string
	Since         time.Time
	Lifted        time.Time // zero while it stands
	LiftedBy      string
	LiftedBecause string
}

// CheckHold returns an Invalid where the reason of a hold is missing.
func CheckHold(because string) error {
	v := fault.Invalid{}
	v.Require("because", because, 500, "Write why nothing of this hike may be deleted: a claim, an inquiry, somebody hurt.")
	return v.Err()
}

// CheckLift returns an Invalid where nobody says why a hold may end.
func CheckLift(because string) error {
	v := fault.Invalid{}
	v.Require("lift", because, 500, "Write why this hold may end: the claim is settled, nobody was hurt.")
	return v.Err()
}

// Deletion is one deletion that was carried out. It is written once and stays.
type Deletion struct {
	Hike ref.Hike // 0 for what belongs to no hike
	// Title is empty where the hike is not known any more.
	Title string
	Kind  DataClass
	Gone  int // people, messages or records
	At    time.Time
	By    string // the daily run, or who asked for it
}

// Case is one hike with what is still to go from it.
type Case struct {
	Hike  ref.Hike
	Title string
	State hike.State
	Meet  time.Time
	// Closed is from when all is counted: the close, or the meeting of a hike that was called
	// off. It is zero while the hike is not closed: then nothing goes but the cards of one
	// that never left.
	Closed time.Time
	// Going is every kind, with when it went.
	Going []Expiry
	Hold  *Hold // nil where none stands
	// Waivers is how many are kept by themselves, and NextWaiver when the first of them goes.
	Waivers    int
	NextWaiver time.Time
}

// Due lists the kinds whose time has come and that have not gone.
func (r Case) Due(now time.Time) []DataClass {
	var due []DataClass
	for _, g := range r.Going {
		if g.Gone.IsZero() && !g.ExpiresAt.IsZero() && !now.Before(g.ExpiresAt) && r.Hold == nil {
			due = append(due, g.Kind)
		}
	}
	return due
}

// Schedule sets when each kind goes by the rules, and when it went. Waivers have times of
// their own and are not in it. Medical cards go in their time from a hike that nobody took
// out and nobody closed, too: nothing happened that anybody would look them up for.
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

// LogEntry is one line of the log over all that was opened, changed, held or deleted.
type LogEntry struct {
	At   time.Time
	By   string
	What string // "card opened", "deleted", "rule", "roles", "hold set", "hold lifted", "own data"
	// About is the hike, rule or person that it was about; Note says more, never what a card says.
	About, Note string
}

// Store keeps what is kept of people no longer than the rules say.
type Store interface {
	// Retire deletes what is due, once a day however many call it. Where the day's run is
	// done it does nothing.
	DeleteDue(ctx context.Context, now time.Time, rules rules.Rules, by string) ([]Deletion, error)
	// Retiring lists the hikes of which something is kept, the oldest first, with what goes when.
	Cases(ctx context.Context, now time.Time, rules rules.Rules) ([]Case, error)
	// Retirements lists what went, the newest first, at most n.
	Deletions(ctx context.Context, n int) ([]Deletion, error)
	// LastRetired is when the last daily run was, zero for never.
	LastDeletionRun(ctx context.Context) (time.Time, error)
	// HoldHike keeps what belongs to a hike from being deleted; LiftHold ends that. Both ask
	// for a reason, which is kept.
	HoldHike(ctx context.Context, id ref.Hike, because, by string, now time.Time) error
	LiftHold(ctx context.Context, id ref.Hike, because, by string, now time.Time) error
	// Holds lists every hold that stands or stood, those that stand first.
	Holds(ctx context.Context) ([]Hold, error)
	// ForgetPerson deletes what is kept of a person, but for what a claim needs.
	ForgetPerson(ctx context.Context, id string, now time.Time, rules rules.Rules) error
	// OwnRecords loads what is kept of a person beside their sign-up.
	OwnRecords(ctx context.Context, id string) (OwnRecords, error)
	// Note appends a line to the log that has no log of its own; Audit lists the newest n of all.
	Note(ctx context.Context, a LogEntry) error
	Audit(ctx context.Context, n int) ([]LogEntry, error)
}
