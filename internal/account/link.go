package account

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base32"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"time"
)

// Errors of links. Their texts reveal nothing to somebody without the secret.
var (
	ErrLinkUnknown = errors.New("this link is not known: it may have been copied in part, or withdrawn")
	ErrLinkUsed    = errors.New("this link has been used already and works once only")
	ErrLinkExpired = errors.New("this link has expired")
)

// secretBytes is the size of a secret: 160 bits, 32 letters without padding.
// Our judgment: far above the 64 bits that OWASP ASVS 4.0.3 (2021), V3.2.2, requires of a
// session token, and short enough to type from paper.
const secretBytes = 20

// Secret is the secret part of a private link. It is sent once, to the person it is for, and
// never stored. Printing or logging it does not reveal it.
type Secret struct{ text string }

// Hash is the SHA-256 of a secret, which is stored. It needs no stretching: a random secret
// of 160 bits cannot be guessed.
type Hash [sha256.Size]byte

func letters() *base32.Encoding { return base32.StdEncoding.WithPadding(base32.NoPadding) }

// NewLink draws a secret from random, and returns it with its hash. Use crypto/rand.Reader
// outside tests.
func NewLink(random io.Reader) (Secret, Hash, error) {
	raw := make([]byte, secretBytes)
	if _, err := io.ReadFull(random, raw); err != nil {
		return Secret{}, Hash{}, fmt.Errorf("draw a link: %w", err)
	}
	s := Secret{strings.ToLower(letters().EncodeToString(raw))}
	return s, s.Hash(), nil
}

// ParseSecret reads a secret from a URL or from paper. Case, spaces and hyphens do not
// matter. Anything else is ErrLinkUnknown.
func ParseSecret(s string) (Secret, error) {
	text := strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(s))
	raw, err := letters().DecodeString(text)
	if err != nil || len(raw) != secretBytes || len(text) != letters().EncodedLen(secretBytes) {
		return Secret{}, ErrLinkUnknown
	}
	return Secret{strings.ToLower(letters().EncodeToString(raw))}, nil
}

// Reveal returns the text of the secret, to put into a link.
func (s Secret) Reveal() string { return s.text }

// Hash returns the hash by which the link is stored and looked up.
func (s Secret) Hash() Hash { return sha256.Sum256([]byte(s.text)) }

// String hides the secret from formatted output.
func (Secret) String() string { return "[secret]" }

// GoString hides the secret from %#v.
func (Secret) GoString() string { return "[secret]" }

// LogValue hides the secret from structured logs.
func (Secret) LogValue() slog.Value { return slog.StringValue("[secret]") }

// HashFromBytes converts stored bytes to a hash.
func HashFromBytes(b []byte) (Hash, error) {
	if len(b) != sha256.Size {
		return Hash{}, fmt.Errorf("link hash of %d bytes: want %d", len(b), sha256.Size)
	}
	return Hash(b), nil
}

// Matches reports whether h is the hash of the secret, in constant time. The zero secret
// matches no hash.
func (h Hash) Matches(s Secret) bool {
	other := s.Hash()
	return s.text != "" && subtle.ConstantTimeCompare(h[:], other[:]) == 1
}

// How long links work.
// Our judgment: whoever installs the program opens the first one at once; a volunteer may
// open an invitation on the weekend after next; a forgotten password is needed now.
const (
	FirstCoordinatorFor = 24 * time.Hour
	InvitationFor       = 14 * 24 * time.Hour
	NewPasswordFor      = 2 * time.Hour
	WatchFor            = 48 * time.Hour // longer searches are led by somebody else
)

// Link is a private link as it is stored.
type Link struct {
	Hash Hash
	Target
	Expires time.Time // the first instant at which it no longer works; zero: never expires
	Used    time.Time // when a single-use link was used; zero: not yet
}

// Check returns nil if the link works at now, else ErrLinkUnknown, ErrLinkUsed or
// ErrLinkExpired.
func (l Link) Check(now time.Time) error {
	switch {
	case l.Purpose == "" || l.Hash == Hash{}:
		return ErrLinkUnknown
	case l.Purpose.SingleUse() && !l.Used.IsZero():
		return ErrLinkUsed
	case !l.Expires.IsZero() && !now.Before(l.Expires):
		return ErrLinkExpired
	}
	return nil
}

// Open returns nil if the secret opens this link for the purpose at now. A link for another
// purpose is ErrLinkUnknown: a participant's link never sets a password.
func (l Link) Open(s Secret, p Purpose, now time.Time) error {
	if l.Purpose != p || !l.Hash.Matches(s) {
		return ErrLinkUnknown
	}
	return l.Check(now)
}

// LinkFinder is the part of Store that OpenLink reads.
type LinkFinder interface {
	LinkByHash(ctx context.Context, h Hash) (Link, error)
}

// OpenLink finds the link of a secret from an address or a form, and opens it for the
// purpose at now. It is ErrNotFound, ErrLinkUnknown, ErrLinkUsed or ErrLinkExpired if that
// is not possible.
func OpenLink(ctx context.Context, find LinkFinder, typed string, p Purpose, now time.Time) (Link, error) {
	secret, err := ParseSecret(typed)
	if err != nil {
		return Link{}, err
	}
	link, err := find.LinkByHash(ctx, secret.Hash())
	if err != nil {
		return Link{}, err
	}
	return link, link.Open(secret, p, now)
}
