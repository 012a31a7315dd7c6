package account

import (
	"context"
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/text/unicode/norm"
)

// ErrBadHash is returned where a stored password hash cannot be read.
var ErrBadHash = errors.New("stored password hash is damaged")

// Cost is what one hash takes. The same cost on every machine gives hashes that every
// machine can check in about the same time.
type Cost struct {
	MemoryKiB uint32
	Passes    uint32
	Lanes     uint8
}

// DefaultCost is the cost of new hashes: 64 MiB, one pass, two lanes.
// House judgement: above the least that the OWASP Password Storage Cheat Sheet (2023)
// names for Argon2id, 19 MiB, two passes, one lane; the lanes are fixed so that a hash
// does not depend on the number of processors.
func DefaultCost() Cost { return Cost{MemoryKiB: 64 * 1024, Passes: 1, Lanes: 2} }

// Bounds within which a stored hash is computed at all, so that a damaged row can
// neither stop the program nor take all its memory.
// House judgement: sixteen times our own memory and passes.
const (
	mostMemoryKiB = 1024 * 1024
	mostPasses    = 16
)

// Salt and key sizes in bytes.
// RFC 9106 (2021), section 4: a 128-bit salt and a 256-bit tag.
const (
	saltLength = 16
	keyLength  = 32
)

// Hasher makes and checks password hashes (Argon2id), a bounded number at once, since
// each takes tens of megabytes. It is safe for use by several goroutines.
type Hasher struct {
	slots  chan struct{}
	params argon2id.Params
}

// NewHasher returns a hasher that runs at most limit hashes at once, at DefaultCost. A
// limit below one counts as one.
func NewHasher(limit int) *Hasher { return NewHasherAt(limit, DefaultCost()) }

// NewHasherAt is NewHasher at another cost. Tests use it to be quick; a server has no
// reason to go below DefaultCost.
func NewHasherAt(limit int, cost Cost) *Hasher {
	return &Hasher{
		slots: make(chan struct{}, max(limit, 1)),
		params: argon2id.Params{
			Memory: cost.MemoryKiB, Iterations: max(cost.Passes, 1), Parallelism: max(cost.Lanes, 1),
			SaltLength: saltLength, KeyLength: keyLength,
		},
	}
}

// Hash returns the hash to store for a password that CheckPassword has accepted. It
// waits for a free slot until ctx ends.
func (h *Hasher) Hash(ctx context.Context, password string) (string, error) {
	if err := h.enter(ctx); err != nil {
		return "", err
	}
	defer h.leave()
	hash, err := argon2id.CreateHash(plain(password), &h.params)
	if err != nil {
		return "", fmt.Errorf("hash a password: %w", err)
	}
	return hash, nil
}

// Verify tells whether the password is the one that was hashed. An empty hash stands
// for an unknown e-mail or an account without a password: the answer is false and takes
// as long as any other, so that the wait does not tell who has an account.
func (h *Hasher) Verify(ctx context.Context, password, hash string) (bool, error) {
	if err := h.enter(ctx); err != nil {
		return false, err
	}
	defer h.leave()
	if hash == "" || tooLong(password) {
		_, err := argon2id.CreateHash("nobody", &h.params)
		return false, err
	}
	return compare(plain(password), hash)
}

// plain makes one password of the ways in which systems type the same characters.
// NIST SP 800-63B (2017), section 5.1.1.2: normalize by NFKC or NFKD before hashing.
func plain(password string) string { return norm.NFKC.String(password) }

func tooLong(password string) bool {
	return len(password) > MaxPassword*utf8.UTFMax
}

func compare(password, hash string) (bool, error) {
	p, _, key, err := argon2id.DecodeHash(hash)
	if err != nil {
		return false, fmt.Errorf("%w: %w", ErrBadHash, err)
	}
	if p.Memory > mostMemoryKiB || p.Iterations < 1 || p.Iterations > mostPasses || p.Parallelism < 1 ||
		len(key) < saltLength {
		return false, fmt.Errorf("%w: cost out of bounds", ErrBadHash)
	}
	return argon2id.ComparePasswordAndHash(password, hash)
}

func (h *Hasher) enter(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("wait to check a password: %w", err)
	}
	select {
	case h.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("wait to check a password: %w", ctx.Err())
	}
}

func (h *Hasher) leave() { <-h.slots }
