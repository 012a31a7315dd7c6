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
)

// Store keeps trails, hikes and sign-ups. Every method that names one thing returns an
// error wrapping ErrNotFound where it does not exist.
type Store interface {
	// House returns what the organisation says of itself, and its rules; until it has, the
	// default rules alone.
	House(ctx context.Context) (rules.House, error)
	// SaveHouse replaces it.
	SaveHouse(ctx context.Context, h rules.House) error
	// ChangeHouse applies change with the house locked, saves the result, and keeps the
	// changes that it returns. An error of change is returned as it is and nothing is saved.
	ChangeHouse(ctx context.Context, change func(*rules.House) ([]rules.HouseChange, error)) error
	// HouseChanges lists what was changed, the newest first.
	HouseChanges(ctx context.Context, n int) ([]rules.HouseChange, error)

	// AddTrail stores a trail with the file that its track came from.
	AddTrail(ctx context.Context, t trail.Trail, upload []byte) (ref.Trail, error)
	// Trail loads a trail with profile and points.
	Trail(ctx context.Context, id ref.Trail) (trail.Trail, error)
	// Trails lists every trail by name; profiles come without their samples.
	Trails(ctx context.Context) ([]trail.Trail, error)
	// Upload returns the file that a trail's track came from, as it came.
	Upload(ctx context.Context, id ref.Trail) ([]byte, error)
	// ChangeTrail saves what change does to the trail's words, shape and points.
	ChangeTrail(ctx context.Context, id ref.Trail, change func(*trail.Trail) error) error
	// Normals returns the monthly normals of a trail.
	Normals(ctx context.Context, id ref.Trail) (trail.TrailNormals, error)
	// SaveNormals replaces them; none takes them away.
	SaveNormals(ctx context.Context, n trail.TrailNormals) error

	// AddHike stores a draft with its staff.
	AddHike(ctx context.Context, h Hike) (ref.Hike, error)
	// Hike loads a hike with its staff.
	Hike(ctx context.Context, id ref.Hike) (Hike, error)
	// Hikes lists hikes that start within [from, to), earliest first, with trail figures
	// and numbers of sign-ups.
	Hikes(ctx context.Context, from, to time.Time) ([]Listed, error)
	// ChangeHike applies change with the hike locked and saves the result whole, staff
	// included. An error of change is returned as it is and nothing is saved.
	ChangeHike(ctx context.Context, id ref.Hike, change func(*Hike) error) error

	// SavePlan keeps a plan beside those before it.
	SavePlan(ctx context.Context, p StoredPlan) error
	// LatestPlan returns the newest plan of a hike.
	LatestPlan(ctx context.Context, id ref.Hike) (StoredPlan, error)

	// SignUp decides by Hike.Admit, with the hike locked, and stores the result. It queues
	// the mails with it, both or neither, as all methods do that take them.
	SignUp(ctx context.Context, s signup.SignUp, now time.Time, mails ...Mails) (signup.SignUp, error)
	// BringSignUps decides by Hike.Bring, with the hike locked, and stores every request that
	// is added, or nothing at all where one is refused.
	ImportSignUps(ctx context.Context, id ref.Hike, list []signup.SignUp, now time.Time, mails ...Mails) ([]ImportRow, error)
	// SignUps lists a hike's sign-ups in the order of asking.
	SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error)
	// SignUpByID finds a place by its number.
	SignUpByID(ctx context.Context, id string) (signup.SignUp, error)
	// SignUpByLink finds a place by the hash of its secret.
	SignUpByLink(ctx context.Context, hash []byte) (signup.SignUp, error)
	// ChangeSignUp applies change to one sign-up with its hike locked, then serves the
	// waiting list; whoever moved by that is returned. It is an error where change touches
	// the id, the hike, the order, the link, the card, or who asked and when.
	ChangeSignUp(
		ctx context.Context, id string, now time.Time, change func(*signup.SignUp) error, mails ...Mails,
	) (moved []signup.SignUp, err error)
	// ServePlaces serves the waiting list of a hike: offers lapse, free places are offered.
	ServePlaces(ctx context.Context, id ref.Hike, now time.Time, mails ...Mails) (moved []signup.SignUp, err error)
	// KeepRisks keeps the words of a version of the risks that people accept.
	KeepRisks(ctx context.Context, version, text string, now time.Time) error
	// FormKey is the key that forms of the public are sealed with, the same for all who
	// share the database.
	FormKey(ctx context.Context) ([]byte, error)
}

// Mails writes the mails that tell of changed sign-ups. A store calls it inside the
// transaction that changes them, and queues the mails in the same transaction. What it
// reads and stores with ctx belongs to that transaction, too. The sign-ups come as they
// are stored: first the one that somebody changed, if any, then those whose place moved.
type Mails func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error)

// Listed is a hike as lists show it.
type Listed struct {
	Hike      Hike
	Trail     trail.Trail // without samples and points
	Confirmed int
	Waiting   int
	// Held is how many places are kept for people asked or offered.
	Held int
	// Plan is the newest plan, nil where there is none.
	Plan *plan.Plan
}

// StoredPlan is a plan with what it was computed from.
type StoredPlan struct {
	ID     int64 // 0 until it is stored
	Hike   ref.Hike
	Made   time.Time
	By     string
	Inputs PlanInputs
	Plan   plan.Plan
}

// PlanInputs are the inputs beside the track, as they stood.
type PlanInputs struct {
	Trail        ref.Trail     `json:"trail"`
	Start        time.Time     `json:"start"`
	Forecast     plan.Forecast `json:"forecast"`
	Participants int           `json:"participants"`
	Staff        int           `json:"staff"`
	Pace         string        `json:"pace"`
	Acclimatised bool          `json:"acclimatised"`
	// House is the rules that the plan was made with; nil on plans made before they were
	// kept, which were made with the defaults.
	House *rules.Planning `json:"house,omitempty"`
}

// Rules returns the rules of the house that the plan was made with.
func (in PlanInputs) Rules() rules.Planning {
	if in.House == nil {
		return rules.DefaultRules().Planning
	}
	return *in.House
}
