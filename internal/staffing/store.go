package staffing

import (
	"context"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// Store keeps what is on record about staff, and their answers. Every method that
// names one thing returns an error wrapping ErrNotFound where it does not exist.
type Store interface {
	// CertificateKinds lists what the house asks for, in the order of entering.
	CertificateKinds(ctx context.Context) ([]team.CertificateKind, error)
	// SaveCertificateKind adds a kind, or changes the one of that name.
	SaveCertificateKind(ctx context.Context, k team.CertificateKind) error
	// RemoveCertificateKind asks for it no more; papers on record stay.
	RemoveCertificateKind(ctx context.Context, name string) error

	// Qualifications loads the records of every active account, by name.
	Qualifications(ctx context.Context) ([]team.Qualification, error)
	// Qualification loads one person's record.
	Qualification(ctx context.Context, account ref.Account) (team.Qualification, error)
	AddCertificate(ctx context.Context, c team.Certificate) error
	// AddStanding adds to the dated changes of a person; earlier ones are never changed.
	AddApproval(ctx context.Context, account ref.Account, s team.Approval) error
	AddObserved(ctx context.Context, o team.Observed) error
	AddAbsence(ctx context.Context, a team.Absence) error
	// RemoveAbsence takes back an absence of that account.
	RemoveAbsence(ctx context.Context, account ref.Account, id int64) error

	// AcceptStaff records a yes of somebody on the staff, by their name on the roll.
	AcceptStaff(ctx context.Context, hike ref.Hike, person string, now time.Time) error
	// DeclineStaff takes somebody off the staff and keeps what they said.
	DeclineStaff(ctx context.Context, hike ref.Hike, person, because string, now time.Time) (team.Decline, error)
	// DeclineOnCall leaves on-call open and keeps what the person said.
	DeclineOnCall(ctx context.Context, hike ref.Hike, because string, now time.Time) (team.Decline, error)
	// Declines lists who declined a part on the hike, the latest first.
	Declines(ctx context.Context, hike ref.Hike) ([]team.Decline, error)
	// PlacesOf loads the places of several hikes at once.
	PlacesOf(ctx context.Context, hikes []ref.Hike) (map[ref.Hike][]signup.SignUp, error)

	// Roads loads the typed drives and the ends of every trail.
	Roads(ctx context.Context) (trail.Roads, error)
	// SaveDrive types a drive in; it replaces what was typed for that direction.
	SaveDrive(ctx context.Context, p trail.Pair, takes time.Duration) error
}
