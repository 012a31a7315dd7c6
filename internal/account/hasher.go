package account

import (
	"context"
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/text/unicode/norm"
)

// ErrBadHash is returned for a stored password hash that cannot be read.
var ErrBadHash = errors.New("stored password hash is damaged")

// Cost is the work of one Argon2id hash.
type Cost struct {
	MemoryKiB uint32
	Passes    uint32
	Lanes     uint8
}

// DefaultCost is the cost of new hashes: 64 MiB, one pass, two lanes.
// Our judgment: above the minimum of the OWASP Password Storage Cheat Sheet (2023) for
// Argon2id, 19 MiB, two passes, one lane. The lanes are fixed, so a hash does not depend on
// the number of processors.
func DefaultCost() Cost { return Cost{MemoryKiB: 64 * 1024, Passes: 1, Lanes: 2} }

// Limits of the cost of a stored hash, so that a damaged row can neither hang the program
// nor take all its memory.
// Our judgment: sixteen times our own memory and passes.
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

// Hasher makes and checks Argon2id password hashes. It limits how many run at once, because
// each takes tens of megabytes. It is safe for concurrent use.
type Hasher struct {
	slots  chan struct{}
	params argon2id.Params
}

// NewHasher returns a hasher at DefaultCost that runs at most limit hashes at once, and at
// least one.
func NewHasher(limit int) *Hasher { return NewHasherAt(limit, DefaultCost()) }

// NewHasherAt is NewHasher at another cost. Only tests should go below DefaultCost.
func NewHasherAt(limit int, cost Cost) *Hasher {
	return &Hasher{
		slots: make(chan struct{}, max(limit, 1)),
		params: argon2id.Params{
			Memory: cost.MemoryKiB, Iterations: max(cost.Passes, 1), Parallelism: max(cost.Lanes, 1),
			SaltLength: saltLength, KeyLength: keyLength,
		},
	}
}

// Hash returns the hash to store for a password that CheckPassword accepts. It waits for a
// free slot until ctx ends.
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

// Verify reports whether the password matches the hash. For an empty hash (an unknown e-mail,
// or an account without a password) it returns false after the same time, so that the delay
// does not reveal who has an account.
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

// plain normalizes a password, because systems encode the same characters differently.
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
