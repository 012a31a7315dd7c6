package retention

import (
	"context"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
)

// Retained is a kind of what is kept of the people of a hike after it, and goes in its time.
type Retained string

// The kinds, in the order in which they go by the defaults. Their texts are in the
// database: add, never rename.
const (
	// RetainedCards are medical cards, whole.
	RetainedCards Retained = "medical cards"
	// RetainedPlates are the cars of the sign-ups, and the plates that the roll saw.
	RetainedPlates Retained = "plates"
	// RetainedContacts are numbers and addresses, of contacts and guardians too, what people told
	// of their walks, the talks, the private links, and whoever asked and had no place at the end.
	RetainedContacts Retained = "contacts"
	// RetainedNames are the names on the roll and its free texts. Numbers, times and places stay.
	RetainedNames Retained = "names"
	// RetainedWaivers say who accepted which text of the risks, and which guardian agreed.
	RetainedWaivers Retained = "waivers"
)

// What else the log of deletions names beside the kinds.
const (
	// RetiredMessages went by their own age, whatever hike they were about.
	RetiredMessages Retained = "messages"
	// RetiredOwnData went because the person asked for it.
	RetiredOwnData Retained = "own data"
)

// RetainedKinds lists every kind.
func RetainedKinds() []Retained {
	return []Retained{RetainedCards, RetainedPlates, RetainedContacts, RetainedNames, RetainedWaivers}
}

// Words says what goes, for people.
func (k Retained) Words() string {
	switch k {
	case RetainedCards:
		return "medical cards"
	case RetainedPlates:
		return "cars and their plates"
	case RetainedContacts:
		return "numbers, addresses, contacts, what was told of walks, talks, private links"
	case RetainedNames:
		return "names on the roll and its notes; numbers, times and places stay"
	case RetainedWaivers:
		return "who accepted the risks, and whose guardian agreed"
	case RetiredMessages:
		return "messages sent: to whom, and what they said"
	case RetiredOwnData:
		return "what one person had deleted"
	}
	return string(k)
}

// Keeps is how long a kind is kept, counted from the close of its hike.
func Keeps(r rules.Rules, k Retained) time.Duration {
	switch k {
	case RetainedCards:
		return r.KeepMedical
	case RetainedPlates:
		return r.KeepPlates
	case RetainedContacts:
		return r.KeepContacts
	case RetainedNames:
		return r.KeepNames
	}
	return r.KeepWaivers
}

// Majority is when a claim of somebody under age begins to run out.
//
// Common practice of published schedules (practice, section 6): waivers and guardians' consents of minors
// are counted from the 18th birthday.
const Majority = 18

// WaiverGoes is when the record of an acceptance goes. House judgement: no birth year is kept,
// so somebody under age is counted as if born that day; a claim is never outlived.
func WaiverGoes(r rules.Rules, closed time.Time, minor bool) time.Time {
	if minor {
		closed = closed.AddDate(Majority, 0, 0)
	}
	return closed.Add(r.KeepWaivers)
}

// Going is a kind of what is kept of one hike, and from when it goes.
type Going struct {
	Kind Retained
	At   time.Time // zero where nothing says when
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

// Retirement is one deletion that was carried out. It is written once and stays.
type Retirement struct {
	Hike ref.Hike // 0 for what belongs to no hike
	// Title is empty where the hike is not known any more.
	Title string
	Kind  Retained
	Gone  int // people, messages or records
	At    time.Time
	By    string // the daily run, or who asked for it
}

// Retiring is one hike with what is still to go from it.
type Retiring struct {
	Hike  ref.Hike
	Title string
	State hike.State
	Meet  time.Time
	// Closed is from when all is counted: the close, or the meeting of a hike that was called
	// off. It is zero while the hike is not closed: then nothing goes but the cards of one
	// that never left.
	Closed time.Time
	// Going is every kind, with when it went.
	Going []Going
	Hold  *Hold // nil where none stands
	// Waivers is how many are kept by themselves, and NextWaiver when the first of them goes.
	Waivers    int
	NextWaiver time.Time
}

// Due lists the kinds whose time has come and that have not gone.
func (r Retiring) Due(now time.Time) []Retained {
	var due []Retained
	for _, g := range r.Going {
		if g.Gone.IsZero() && !g.At.IsZero() && !now.Before(g.At) && r.Hold == nil {
			due = append(due, g.Kind)
		}
	}
	return due
}

// Schedule sets when each kind goes by the rules, and when it went. Waivers have times of
// their own and are not in it. Medical cards go in their time from a hike that nobody took
// out and nobody closed, too: nothing happened that anybody would look them up for.
func (r *Retiring) Schedule(rules rules.Rules, start time.Time, gone map[Retained]time.Time) {
	for _, k := range RetainedKinds() {
		if k == RetainedWaivers {
			continue
		}
		g := Going{Kind: k, Gone: gone[k]}
		from := r.Closed
		if from.IsZero() && k == RetainedCards && (r.State == hike.Posted || r.State == hike.Draft) {
			from = start
		}
		if !from.IsZero() {
			g.At = from.Add(Keeps(rules, k))
		}
		r.Going = append(r.Going, g)
	}
}

// Audited is one line of the log over all that was opened, changed, held or deleted.
type Audited struct {
	At   time.Time
	By   string
	What string // "card opened", "deleted", "rule", "roles", "hold set", "hold lifted", "own data"
	// About is the hike, rule or person that it was about; Note says more, never what a card says.
	About, Note string
}

// RetentionStore keeps what is kept of people no longer than the rules say.
type RetentionStore interface {
	// Retire deletes what is due, once a day however many call it. Where the day's run is
	// done it does nothing.
	Retire(ctx context.Context, now time.Time, rules rules.Rules, by string) ([]Retirement, error)
	// Retiring lists the hikes of which something is kept, the oldest first, with what goes when.
	Retiring(ctx context.Context, now time.Time, rules rules.Rules) ([]Retiring, error)
	// Retirements lists what went, the newest first, at most n.
	Retirements(ctx context.Context, n int) ([]Retirement, error)
	// LastRetired is when the last daily run was, zero for never.
	LastRetired(ctx context.Context) (time.Time, error)
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
	Note(ctx context.Context, a Audited) error
	Audit(ctx context.Context, n int) ([]Audited, error)
}
