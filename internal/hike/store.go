package hike

import (
	"context"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Store stores trails, hikes and sign-ups. Methods that name one thing return an error wrapping
// ErrNotFound if it does not exist. Where a method takes a change, it locks what it loads and
// saves the result. If change returns an error, so does the method, and nothing is saved.
type Store interface {
	// House returns the organization's settings. Before they were saved it has only the default
	// rules.
	House(ctx context.Context) (rules.House, error)
	// SaveHouse replaces them.
	SaveHouse(ctx context.Context, h rules.House) error
	// ChangeHouse applies change and also stores the log entries that it returns.
	ChangeHouse(ctx context.Context, change func(*rules.House) ([]rules.HouseChange, error)) error
	// HouseChanges lists the log entries, the newest first.
	HouseChanges(ctx context.Context, n int) ([]rules.HouseChange, error)

	// AddTrail stores a trail with the file that its track came from.
	AddTrail(ctx context.Context, t trail.Trail, upload []byte) (ref.Trail, error)
	// Trail loads a trail with its profile and points.
	Trail(ctx context.Context, id ref.Trail) (trail.Trail, error)
	// Trails lists every trail by name, without the samples of the profiles.
	Trails(ctx context.Context) ([]trail.Trail, error)
	// Upload returns the file that a trail's track came from.
	Upload(ctx context.Context, id ref.Trail) ([]byte, error)
	// ChangeTrail applies change to the trail's texts, shape and points.
	ChangeTrail(ctx context.Context, id ref.Trail, change func(*trail.Trail) error) error
	// Normals returns the monthly normals of a trail.
	Normals(ctx context.Context, id ref.Trail) (trail.TrailNormals, error)
	// SaveNormals replaces them. Empty normals delete them.
	SaveNormals(ctx context.Context, n trail.TrailNormals) error

	// AddHike stores a draft with its staff.
	AddHike(ctx context.Context, h Hike) (ref.Hike, error)
	// Hike loads a hike with its staff.
	Hike(ctx context.Context, id ref.Hike) (Hike, error)
	// Hikes lists the hikes that start within [from, to), the earliest first, with figures of
	// the trail and numbers of sign-ups.
	Hikes(ctx context.Context, from, to time.Time) ([]Listed, error)
	// ChangeHike applies change to the hike, its staff included.
	ChangeHike(ctx context.Context, id ref.Hike, change func(*Hike) error) error

	// SavePlan stores a plan besides those before it.
	SavePlan(ctx context.Context, p StoredPlan) error
	// LatestPlan returns the newest plan of a hike.
	LatestPlan(ctx context.Context, id ref.Hike) (StoredPlan, error)

	// SignUp admits a request by Hike.Admit and stores it. The mails are stored in the same
	// transaction, as by all methods that take mails.
	SignUp(ctx context.Context, s signup.SignUp, now time.Time, mails ...Mails) (signup.SignUp, error)
	// ImportSignUps admits requests by Hike.Import and stores all that are added, or none if
	// one is refused.
	ImportSignUps(
		ctx context.Context, id ref.Hike, list []signup.SignUp, now time.Time, mails ...Mails,
	) ([]ImportRow, error)
	// SignUps lists a hike's sign-ups in the order of asking.
	SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error)
	// SignUpByID finds a sign-up by its ID.
	SignUpByID(ctx context.Context, id string) (signup.SignUp, error)
	// SignUpByLink finds a sign-up by the hash of its secret.
	SignUpByLink(ctx context.Context, hash []byte) (signup.SignUp, error)
	// ChangeSignUp applies change to one sign-up, then serves the waiting list, and returns the
	// sign-ups that moved. Change must not touch the ID, hike, order, link or card, nor who
	// asked and when.
	ChangeSignUp(
		ctx context.Context, id string, now time.Time, change func(*signup.SignUp) error, mails ...Mails,
	) (moved []signup.SignUp, err error)
	// ServePlaces serves the waiting list of a hike: offers lapse, and free places are offered.
	ServePlaces(ctx context.Context, id ref.Hike, now time.Time, mails ...Mails) (moved []signup.SignUp, err error)
	// KeepRisks stores the text of a version of the risks.
	KeepRisks(ctx context.Context, version, text string, now time.Time) error
	// FormKey returns the key for the tokens of public forms, the same for all programs on this
	// database.
	FormKey(ctx context.Context) ([]byte, error)
}

// Mails writes the mails about changed sign-ups. The store calls it in the transaction that
// changes them, and queues the mails in that transaction. What it reads and stores with ctx is
// part of the transaction as well. The sign-ups are as stored: the one that somebody changed
// first, if any, then those that moved.
type Mails func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error)

// Listed is a hike in a list.
type Listed struct {
	Hike      Hike
	Trail     trail.Trail // without samples and points
	Confirmed int
	Waiting   int
	// Held is how many places are held for people asked or offered.
	Held int
	// Plan is the newest plan, nil if there is none.
	Plan *plan.Plan
}

// StoredPlan is a plan with its inputs.
type StoredPlan struct {
	ID     int64 // 0 until it is stored
	Hike   ref.Hike
	Made   time.Time
	By     string
	Inputs PlanInputs
	Plan   plan.Plan
}

// PlanInputs are the inputs besides the track, as they were.
type PlanInputs struct {
	Trail        ref.Trail     `json:"trail"`
	Start        time.Time     `json:"start"`
	Forecast     plan.Forecast `json:"forecast"`
	Participants int           `json:"participants"`
	Staff        int           `json:"staff"`
	Pace         string        `json:"pace"`
	Acclimatised bool          `json:"acclimatised"`
	// Turn is where the plan turns back, zero for the whole trail.
	Turn unit.Length `json:"turn_m,omitempty"`
	// House has the rules the plan was computed with. It is nil on plans made before rules were
	// stored; those used the defaults.
	House *rules.Planning `json:"house,omitempty"`
}

// Rules returns the rules the plan was computed with.
func (in PlanInputs) Rules() rules.Planning {
	if in.House == nil {
		return rules.DefaultRules().Planning
	}
	return *in.House
}
