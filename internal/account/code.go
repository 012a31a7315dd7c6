package account

import (
	"crypto/hmac"
	"crypto/sha1" // RFC 6238 asks for it, and many authenticator programs know no other
	"encoding/base32"
	"encoding/binary"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"strings"
	"time"
)

// Bytes of a key that codes are made with.
// RFC 4226 (2005), section 4, R6: 160 bits are recommended.
const codeKeyBytes = 20

// How long one code stands, how many digits it has, and how many neighbours of the
// present one are taken too.
// RFC 6238 (2011), sections 5.2 and 4: 30 seconds, and at most one step for the way;
// RFC 4226 (2005), section 5.3: at least six digits.
const (
	codeFor    = 30 * time.Second
	codeDigits = 6
	codeDrift  = 1
)

// CodeKey is what an authenticator program and this program share, to make the same
// codes from the time. The zero value is none. Printing or logging it shows nothing.
type CodeKey struct{ raw string }

// NewCodeKey draws a key from random, which is crypto/rand.Reader outside tests.
func NewCodeKey(random io.Reader) (CodeKey, error) {
	raw := make([]byte, codeKeyBytes)
	if _, err := io.ReadFull(random, raw); err != nil {
		return CodeKey{}, fmt.Errorf("draw a key for codes: %w", err)
	}
	return CodeKey{string(raw)}, nil
}

// CodeKeyFromBytes reads a key as it was stored; no bytes are no key.
func CodeKeyFromBytes(b []byte) CodeKey { return CodeKey{string(b)} }

// Bytes returns what is stored of a key; nil where there is none.
func (k CodeKey) Bytes() []byte {
	if k.IsZero() {
		return nil
	}
	return []byte(k.raw)
}

// IsZero tells whether there is no key.
func (k CodeKey) IsZero() bool { return k.raw == "" }

// Reveal returns the key as it is typed into an authenticator program, in fours.
func (k CodeKey) Reveal() string {
	return inFours(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString([]byte(k.raw)))
}

// URI returns the key as a QR code carries it to an authenticator program. The name of
// the house stands before the address there.
func (k CodeKey) URI(house, email string) string {
	key := strings.ReplaceAll(k.Reveal(), " ", "")
	q := url.Values{"secret": {key}, "issuer": {house}}
	// Programs read a plus sign as itself, not as a space.
	query := strings.ReplaceAll(q.Encode(), "+", "%20")
	return "otpauth://totp/" + url.PathEscape(house+":"+email) + "?" + query
}

// String hides the key from formatted output.
func (CodeKey) String() string { return "[key]" }

// GoString hides the key from %#v.
func (CodeKey) GoString() string { return "[key]" }

// LogValue hides the key from structured logs.
func (CodeKey) LogValue() slog.Value { return slog.StringValue("[key]") }

// CodeStep numbers the stretches of time in which one code stands.
func CodeStep(t time.Time) int64 { return t.Unix() / int64(codeFor/time.Second) }

// CodeAt returns the code of a step, with six digits.
func (k CodeKey) CodeAt(step int64) string { return k.code(step, codeDigits) }

// code is the value of RFC 4226 (2005), section 5.3, with RFC 6238's step as its counter.
func (k CodeKey) code(step int64, digits int) string {
	mac := hmac.New(sha1.New, []byte(k.raw))
	_ = binary.Write(mac, binary.BigEndian, step) // a hash takes everything
	sum := mac.Sum(nil)
	at := sum[len(sum)-1] & 0xf
	value := int64(binary.BigEndian.Uint32(sum[at:at+4]) & 0x7fffffff)
	most := int64(1)
	for range digits {
		most *= 10
	}
	return fmt.Sprintf("%0*d", digits, value%most)
}

// stepOf finds the step near now whose code this is.
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

// inFours parts a text by spaces.
func inFours(s string) string {
	var parts []string
	for len(s) > 4 {
		parts, s = append(parts, s[:4]), s[4:]
	}
	return strings.Join(append(parts, s), " ")
}
