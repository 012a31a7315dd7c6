package staffing

import (
	"context"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// Store stores the records of staff, and their answers. Methods that name one thing return an
// error wrapping ErrNotFound if it does not exist.
type Store interface {
	// CertificateKinds lists the certificates the organization asks for, in the order in which
	// they were added.
	CertificateKinds(ctx context.Context) ([]team.CertificateKind, error)
	// SaveCertificateKind adds a kind, or changes the one with that name.
	SaveCertificateKind(ctx context.Context, k team.CertificateKind) error
	// RemoveCertificateKind removes a kind; certificates on record stay.
	RemoveCertificateKind(ctx context.Context, name string) error

	// Qualifications loads the records of every active account, by name.
	Qualifications(ctx context.Context) ([]team.Qualification, error)
	// Qualification loads one person's record.
	Qualification(ctx context.Context, account ref.Account) (team.Qualification, error)
	AddCertificate(ctx context.Context, c team.Certificate) error
	// AddApproval adds an approval of a person. Earlier ones are never changed.
	AddApproval(ctx context.Context, account ref.Account, s team.Approval) error
	AddObserved(ctx context.Context, o team.Observed) error
	AddAbsence(ctx context.Context, a team.Absence) error
	// RemoveAbsence removes an absence of that account.
	RemoveAbsence(ctx context.Context, account ref.Account, id int64) error

	// AcceptStaff records that somebody on the staff accepted. Person is their ID on the roll.
	AcceptStaff(ctx context.Context, hike ref.Hike, person string, now time.Time) error
	// DeclineStaff takes somebody off the staff and stores their reason.
	DeclineStaff(ctx context.Context, hike ref.Hike, person, because string, now time.Time) (team.Decline, error)
	// DeclineOnCall leaves on-call open and stores the reason.
	DeclineOnCall(ctx context.Context, hike ref.Hike, because string, now time.Time) (team.Decline, error)
	// Declines lists who declined a part on the hike, the latest first.
	Declines(ctx context.Context, hike ref.Hike) ([]team.Decline, error)
	// PlacesOf loads the sign-ups of several hikes at once.
	PlacesOf(ctx context.Context, hikes []ref.Hike) (map[ref.Hike][]signup.SignUp, error)

	// Roads loads the typed drives and the ends of every trail.
	Roads(ctx context.Context) (trail.Roads, error)
	// SaveDrive stores a typed drive. It replaces the one for that direction.
	SaveDrive(ctx context.Context, p trail.Pair, takes time.Duration) error
}
