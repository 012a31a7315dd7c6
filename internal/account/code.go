package account

import (
	"crypto/hmac"
	"crypto/sha1" // RFC 6238's default, and the only hash that many authenticator apps support
	"encoding/base32"
	"encoding/binary"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"strings"
	"time"
)

// codeKeyBytes is the size of a key.
// RFC 4226 (2005), section 4, R6: 160 bits are recommended.
const codeKeyBytes = 20

// RFC 6238 (2011), sections 4 and 5.2: steps of 30 seconds, and at most one step of delay.
// RFC 4226 (2005), section 5.3: at least six digits.
const (
	codeFor    = 30 * time.Second
	codeDigits = 6
	codeDrift  = 1 // accepted steps before and after the current one
)

// CodeKey is the key of time-based one-time codes (TOTP), shared with an authenticator app.
// The zero value is no key. Printing or logging a key does not reveal it.
type CodeKey struct{ raw string }

// NewCodeKey draws a key from random; use crypto/rand.Reader outside tests.
func NewCodeKey(random io.Reader) (CodeKey, error) {
	raw := make([]byte, codeKeyBytes)
	if _, err := io.ReadFull(random, raw); err != nil {
		return CodeKey{}, fmt.Errorf("draw a key for codes: %w", err)
	}
	return CodeKey{string(raw)}, nil
}

// CodeKeyFromBytes returns the key that Bytes returned.
func CodeKeyFromBytes(b []byte) CodeKey { return CodeKey{string(b)} }

// Bytes returns the key as it is stored, or nil for no key.
func (k CodeKey) Bytes() []byte {
	if k.IsZero() {
		return nil
	}
	return []byte(k.raw)
}

// IsZero reports whether there is no key.
func (k CodeKey) IsZero() bool { return k.raw == "" }

// Reveal returns the key as people type it into an authenticator app, in groups of four.
func (k CodeKey) Reveal() string {
	return inFours(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString([]byte(k.raw)))
}

// URI returns the key for a QR code that an authenticator app scans. The app shows the name
// of the house and the address.
func (k CodeKey) URI(house, email string) string {
	key := strings.ReplaceAll(k.Reveal(), " ", "")
	q := url.Values{"secret": {key}, "issuer": {house}}
	// Apps do not read a plus sign as a space.
	query := strings.ReplaceAll(q.Encode(), "+", "%20")
	return "otpauth://totp/" + url.PathEscape(house+":"+email) + "?" + query
}

// String hides the key from formatted output.
func (CodeKey) String() string { return "[key]" }

// GoString hides the key from %#v.
func (CodeKey) GoString() string { return "[key]" }

// LogValue hides the key from structured logs.
func (CodeKey) LogValue() slog.Value { return slog.StringValue("[key]") }

// CodeStep returns the number of the time step at t. Each step has one code.
func CodeStep(t time.Time) int64 { return t.Unix() / int64(codeFor/time.Second) }

// CodeAt returns the six-digit code of a step.
func (k CodeKey) CodeAt(step int64) string { return k.code(step, codeDigits) }

// code computes RFC 4226 (2005), section 5.3, with the step of RFC 6238 as its counter.
func (k CodeKey) code(step int64, digits int) string {
	mac := hmac.New(sha1.New, []byte(k.raw))
	_ = binary.Write(mac, binary.BigEndian, step) // writing to a hash cannot fail
	sum := mac.Sum(nil)
	at := sum[len(sum)-1] & 0xf
	value := int64(binary.BigEndian.Uint32(sum[at:at+4]) & 0x7fffffff)
	most := int64(1)
	for range digits {
		most *= 10
	}
	return fmt.Sprintf("%0*d", digits, value%most)
}

// stepOf finds the step near now that has this code.
func (k CodeKey) stepOf(code string, now time.Time) (step int64, ok bool) {
	if k.IsZero() {
		return 0, false
	}
	for near := CodeStep(now) - codeDrift; near <= CodeStep(now)+codeDrift; near++ {
		if hmac.Equal([]byte(k.CodeAt(near)), []byte(code)) {
			step, ok = near, true
		}
	}
	return step, ok
}

// inFours puts a space after every four characters.
func inFours(s string) string {
	var parts []string
	for len(s) > 4 {
		parts, s = append(parts, s[:4]), s[4:]
	}
	return strings.Join(append(parts, s), " ")
}
