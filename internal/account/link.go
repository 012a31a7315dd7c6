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

// Kinds of refusal of a link. A page tells them apart; none tells a stranger more than
// the holder of the secret may know.
var (
	ErrLinkUnknown = errors.New("this link is not known: it may have been copied in part, or withdrawn")
	ErrLinkUsed    = errors.New("this link has been used already and works once only")
	ErrLinkExpired = errors.New("this link has expired")
)

// Bytes of randomness in a secret: 160 bits, which make 32 letters without padding.
// House judgement: far above the 64 bits that OWASP ASVS 4.0.3 (2021), V3.2.2, asks of a
// session token, and short enough to be typed from paper.
const secretBytes = 20

// Secret is the text in a private link. It is shown once, to the person it is for, and
// never stored; printing or logging it by accident shows nothing.
type Secret struct{ text string }

// Hash is what is stored of a secret: its SHA-256. No stretching is needed, since a
// secret is random and cannot be guessed from its hash.
type Hash [sha256.Size]byte

func letters() *base32.Encoding { return base32.StdEncoding.WithPadding(base32.NoPadding) }

// NewLink draws a new secret from random, which is crypto/rand.Reader outside tests.
func NewLink(random io.Reader) (Secret, Hash, error) {
	raw := make([]byte, secretBytes)
	if _, err := io.ReadFull(random, raw); err != nil {
		return Secret{}, Hash{}, fmt.Errorf("draw a link: %w", err)
	}
	s := Secret{strings.ToLower(letters().EncodeToString(raw))}
	return s, s.Hash(), nil
}

// ParseSecret reads a secret from a URL or from paper: case, spaces and hyphens do not
// matter. What cannot be a secret is ErrLinkUnknown, without a look at the store.
func ParseSecret(s string) (Secret, error) {
	text := strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(s))
	raw, err := letters().DecodeString(text)
	if err != nil || len(raw) != secretBytes || len(text) != letters().EncodedLen(secretBytes) {
		return Secret{}, ErrLinkUnknown
	}
	return Secret{strings.ToLower(letters().EncodeToString(raw))}, nil
}

// Reveal returns the text of the secret, to be put into a link.
func (s Secret) Reveal() string { return s.text }

// Hash returns what is stored and looked up.
func (s Secret) Hash() Hash { return sha256.Sum256([]byte(s.text)) }

// String hides the secret from formatted output.
func (Secret) String() string { return "[secret]" }

// GoString hides the secret from %#v.
func (Secret) GoString() string { return "[secret]" }

// LogValue hides the secret from structured logs.
func (Secret) LogValue() slog.Value { return slog.StringValue("[secret]") }

// HashFromBytes reads a hash as it was stored.
func HashFromBytes(b []byte) (Hash, error) {
	if len(b) != sha256.Size {
		return Hash{}, fmt.Errorf("link hash of %d bytes: want %d", len(b), sha256.Size)
	}
	return Hash(b), nil
}

// Matches tells whether the hash is that of the secret, in constant time. No secret
// matches the zero hash.
func (h Hash) Matches(s Secret) bool {
	other := s.Hash()
	return s.text != "" && subtle.ConstantTimeCompare(h[:], other[:]) == 1
}

// How long links to accounts stay open.
// House judgement: the first is opened by whoever has just installed the program; an
// invitation waits for a volunteer's weekend; a forgotten password is wanted now.
const (
	FirstCoordinatorFor = 24 * time.Hour
	InvitationFor       = 14 * 24 * time.Hour
	NewPasswordFor      = 2 * time.Hour
	WatchFor            = 48 * time.Hour // the longest search that is still led from here
)

// Link is a private link as it is stored.
type Link struct {
	Hash Hash
	Target
	Expires time.Time // the first instant at which it is closed; zero: never
	Used    time.Time // when a link of single use was used; zero: not yet
}

// Check returns nil while the link is open at now, else ErrLinkUnknown, ErrLinkUsed or
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

// Open returns nil where the secret opens this link for the purpose at now. A link for
// another purpose is unknown, so that a participant's link never sets a password.
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

// OpenLink finds the link of a secret, as it was typed or stands in an address, and
// returns it if it is open for the purpose at now. It is ErrNotFound, ErrLinkUnknown,
// ErrLinkUsed or ErrLinkExpired if not.
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
